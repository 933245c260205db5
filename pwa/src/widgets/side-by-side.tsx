/** The list of a place and the page that was chosen in it: beside each other on a wide screen, else one at a time. */

import type { ComponentChildren, VNode } from "preact";
import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { path } from "../state/signals";

/** As in the style sheets: from here on the bar stands at the side. */
const WIDE = "(min-width: 60rem)";

export interface SideBySideProps {
  list: VNode;
  /** null: the address is that of the list. */
  page: VNode | null;
  /** Stands beside the list until something is chosen. */
  first?: ComponentChildren;
}

export function SideBySide({ list, page, first }: SideBySideProps) {
  const wide = useWide();
  // The page keeps its place in the tree: a tablet that is turned loses nothing that was typed.
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

/** Whether there is room for two. */
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

/** For a line of a list: marks it while what it leads to is shown. */
export function chosen(...parts: string[]): { "aria-current"?: "true" } {
  return parts.every((part, at) => path.value[at] === part) ? { "aria-current": "true" } : {};
}
