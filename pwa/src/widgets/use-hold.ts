/** A button that repeats while it is held, first slowly, then fast. */

import { useEffect, useRef } from "preact/hooks";

const FIRST_MS = 450;
const NEXT_MS = 110;

export interface HoldHandlers {
  onClick: (event: MouseEvent) => void;
  onPointerDown: (event: PointerEvent) => void;
  onPointerUp: () => void;
  onPointerLeave: () => void;
  onPointerCancel: () => void;
  onContextMenu: (event: Event) => void;
}

export function useHold(act: () => void): HoldHandlers {
  const latest = useRef(act);
  latest.current = act;
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const repeated = useRef(false);

  const stop = () => clearTimeout(timer.current);
  const repeat = () => {
    repeated.current = true;
    latest.current();
    timer.current = setTimeout(repeat, NEXT_MS);
  };
  useEffect(() => stop, []);

  return {
    // The click covers keyboard, mouse and touch; after holding, it would be one step too many.
    onClick: () => {
      if (!repeated.current) latest.current();
      repeated.current = false;
    },
    onPointerDown: (event) => {
      if (event.button !== 0) return;
      repeated.current = false;
      stop();
      timer.current = setTimeout(repeat, FIRST_MS);
    },
    onPointerUp: stop,
    onPointerLeave: stop,
    onPointerCancel: stop,
    onContextMenu: (event) => event.preventDefault(),
  };
}
