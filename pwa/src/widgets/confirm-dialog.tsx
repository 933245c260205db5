/** A question to answer before something is lost. Focus is on the safe answer. */

import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";

export interface ConfirmDialogProps {
  open: boolean;
  title: string;
  children?: ComponentChildren;
  /** The action, as a verb: "Discard the run sheet". */
  act: string;
  back: string;
  onAct: () => void;
  onBack: () => void;
}

export function ConfirmDialog({ open, title, children, act, back, onAct, onBack }: ConfirmDialogProps) {
  const box = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const dialog = box.current;
    if (open && dialog && !dialog.open) dialog.showModal();
    if (!open && dialog?.open) dialog.close();
  }, [open]);
  return (
    <dialog
      ref={box}
      class="dialog"
      aria-labelledby={id}
      onCancel={(event) => {
        event.preventDefault();
        onBack();
      }}
    >
      <h2 id={id}>{title}</h2>
      {children}
      <div class="buttons">
        <button type="button" autofocus onClick={onBack}>
          {back}
        </button>
        <button type="button" class="main" onClick={onAct}>
          {act}
        </button>
      </div>
    </dialog>
  );
}
