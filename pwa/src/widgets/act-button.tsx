/** A button that is always enabled: if something is missing, a tap says what, and moves to the field. */

import type { ComponentChildren } from "preact";
import { useId, useState } from "preact/hooks";
import { bringMissing } from "./bring";

export interface ActButtonProps {
  /** What is missing, in one sentence; null: nothing. */
  missing: string | null;
  /** Omitted on a button that submits its form. */
  onAct?: () => void;
  main?: boolean;
  children: ComponentChildren;
}

export function ActButton({ missing, onAct, main = false, children }: ActButtonProps) {
  const id = useId();
  const [asked, setAsked] = useState(false);
  const said = asked && missing !== null;
  return (
    <>
      {said && (
        <p id={id} class="missing fault" role="alert">
          {missing}
        </p>
      )}
      <button
        type={onAct ? "button" : "submit"}
        class={main ? "main" : undefined}
        aria-disabled={missing === null ? undefined : "true"}
        aria-describedby={said ? id : undefined}
        onClick={(event) => {
          setAsked(missing !== null);
          if (missing === null) return onAct?.();
          event.preventDefault();
          bringMissing(event.currentTarget);
        }}
      >
        {children}
      </button>
    </>
  );
}
