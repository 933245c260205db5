/** One stage of the run sheet: open, complete (one line, tap to change), ready (tap to open) or still ahead. */

import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import { labels } from "../../i18n";
import { bring } from "../../widgets/bring";

export type StageState = "open" | "filled" | "ready" | "ahead";

export interface StageProps {
  number: number;
  title: string;
  state: StageState;
  /** The entries, on one line. */
  summary?: string | undefined;
  /** Scrolls to the stage when it opens automatically. */
  follow?: boolean;
  /** The label of a tap on that line, if it is not to change the entries. */
  act?: string | undefined;
  onOpen: () => void;
  children?: ComponentChildren;
}

export function Stage({ number, title, state, summary, act, follow, onOpen, children }: StageProps) {
  const box = useRef<HTMLElement>(null);
  const id = useId();
  useEffect(() => {
    if (state !== "open" || !follow) return;
    bring(box.current);
    box.current?.focus({ preventScroll: true });
  }, [state, follow]);
  return (
    <section ref={box} class="stage" data-state={state} aria-labelledby={id} tabIndex={-1}>
      <span class="stage-number" aria-hidden="true">
        {number}
      </span>
      <h2 id={id}>
        <span class="unseen">{labels.test.stage(number, "")}</span>
        {title}
      </h2>
      {(state === "filled" || state === "ready") && (
        <button type="button" class="stage-summary" onClick={onOpen}>
          <span>{summary}</span>
          <span class="stage-change">
            {act ?? labels.test.change}
            <span class="unseen">, {title}</span>
          </span>
        </button>
      )}
      {state === "open" && <div class="stage-body">{children}</div>}
    </section>
  );
}
