/** The star of a source: filled when it is starred, an outline when not. */

import { labels } from "../../labels";
import { setStar } from "../../store/stars";

export interface StarButtonProps {
  source: string;
  name: string;
  starred: boolean;
}

export function StarButton({ source, name, starred }: StarButtonProps) {
  return (
    <button
      type="button"
      class="star"
      aria-pressed={starred}
      aria-label={labels.sources.stars.star(name)}
      onClick={() => void setStar(source, !starred, new Date())}
    >
      <svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">
        <path d="m12 3 2.8 5.9 6.2.8-4.5 4.4 1.1 6.4L12 17.4l-5.6 3.1 1.1-6.4L3 9.7l6.2-.8z" />
      </svg>
    </button>
  );
}
