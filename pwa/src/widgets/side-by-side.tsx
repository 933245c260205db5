/** A place's list and the page chosen in it: side by side on a wide screen, else one at a time. */

import type { ComponentChildren, VNode } from "preact";
import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { path } from "../state/signals";

/** As in the style sheets: from here on the bar is at the side. */
const WIDE = "(min-width: 60rem)";

export interface SideBySideProps {
  list: VNode;
  /** null: the URL is that of the list. */
  page: VNode | null;
  /** Shown beside the list until something is chosen. */
  first?: ComponentChildren;
}

export function SideBySide({ list, page, first }: SideBySideProps) {
  const wide = useWide();
  // The page keeps its position in the tree, so that turning a tablet does not lose typed text.
  return (
    <div class={wide ? "panes" : undefined}>
      {(wide || page === null) && (
        <div key="list" class={wide ? "pane-list" : undefined}>
          {list}
        </div>
      )}
      {page !== null && (
        <div key="page" class={wide ? "pane-page" : undefined} tabIndex={wide ? -1 : undefined}>
          {page}
        </div>
      )}
      {wide && page === null && <div>{first ?? <p class="quiet pane-empty">{labels.common.choose}</p>}</div>}
    </div>
  );
}

/** Whether there is space for both. */
export function useWide(): boolean {
  const [query] = useState(() => matchMedia(WIDE));
  const [wide, setWide] = useState(query.matches);
  useEffect(() => {
    const look = () => setWide(query.matches);
    look();
    query.addEventListener("change", look);
    return () => query.removeEventListener("change", look);
  }, [query]);
  return wide;
}

/** For a row of a list: marks it while its page is shown. */
export function chosen(...parts: string[]): { "aria-current"?: "true" } {
  return parts.every((part, at) => path.value[at] === part) ? { "aria-current": "true" } : {};
}
