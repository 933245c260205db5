/** The star of a source: filled if it is starred, otherwise an outline. */

import { useEffect, useRef } from "preact/hooks";
import { labels } from "../../i18n";
import { setStar } from "../../store/stars";

/** ms in which the list is redrawn. */
const SOON = 2000;

export interface StarButtonProps {
  source: string;
  name: string;
  starred: boolean;
  /** The source whose star was just touched here: its line may move, and the focus that is lost then goes with it. */
  touched: Touched;
}

export interface Touched {
  current: string | null;
}

export function StarButton({ source, name, starred, touched }: StarButtonProps) {
  const box = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (touched.current === source && document.activeElement === document.body)
      box.current?.focus({ preventScroll: true });
  }, [source]);
  const turn = () => {
    touched.current = source;
    setTimeout(() => {
      if (touched.current === source) touched.current = null;
    }, SOON);
    void setStar(source, !starred, new Date());
  };
  return (
    <button
      ref={box}
      type="button"
      class="star"
      aria-pressed={starred}
      aria-label={labels.sources.stars.star(name)}
      onClick={turn}
    >
      <svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">
        <path d="m12 3 2.8 5.9 6.2.8-4.5 4.4 1.1 6.4L12 17.4l-5.6 3.1 1.1-6.4L3 9.7l6.2-.8z" />
      </svg>
    </button>
  );
}
