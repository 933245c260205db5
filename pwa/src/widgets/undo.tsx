/** Shows what was just removed, with an undo button for some seconds. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { undoable } from "../state/signals";

/** ms */
const LONG_ENOUGH = 8000;

/** Offers to undo the last action; only the last one can be undone. */
export function offerUndo(said: string, undo: () => void): void {
  undoable.value = { said, undo };
}

/** Always in the page, so that screen readers announce its content. It does not time out while its button has focus. */
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
