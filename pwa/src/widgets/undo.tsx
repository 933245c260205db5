/** What was just removed, and the way to have it back for some seconds. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { undoable } from "../state/signals";

/** ms */
const LONG_ENOUGH = 8000;

/** Offers to undo what was just done; only the last thing can be undone. */
export function offerUndo(said: string, undo: () => void): void {
  undoable.value = { said, undo };
}

/** Stands in the page all the time, so that what comes into it is read out. Nobody on its button is hurried. */
export function UndoBar() {
  const [held, setHeld] = useState(false);
  const now = undoable.value;
  useEffect(() => {
    if (now === null || held) return;
    const timer = setTimeout(() => {
      undoable.value = null;
    }, LONG_ENOUGH);
    return () => clearTimeout(timer);
  }, [now, held]);
  const act = () => {
    undoable.value = null;
    setHeld(false);
    now?.undo();
  };
  return (
    <div class="undo" role="status">
      {now && (
        <>
          <span>{now.said}</span>
          <button type="button" onFocus={() => setHeld(true)} onBlur={() => setHeld(false)} onClick={act}>
            {labels.parts.undo.act}
          </button>
        </>
      )}
    </div>
  );
}
