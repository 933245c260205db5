/**
 * Shown while something is loading: a filling tube and a word.
 *
 * Most loading is over before anybody sees it, so this appears only after a moment and nothing flickers. A screen
 * reader says it once: the word appears in a region that was there before.
 */

import { useEffect, useId, useState } from "preact/hooks";
import { BORE, tubeOutline, VIEW } from "./tube-shape";

/** ms after which waiting deserves a word. */
const MOMENT = 400;

export function Waiting({ word }: { word: string }) {
  const [isLong, setLong] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLong(true), MOMENT);
    return () => clearTimeout(timer);
  }, []);
  return (
    <div class="waiting" role="status">
      {isLong && (
        <>
          <FillingTube />
          <p>{word}</p>
        </>
      )}
    </div>
  );
}

function FillingTube() {
  const inside = `inside${useId().replace(/\W/g, "")}`;
  return (
    <svg class="tube tube-small" viewBox={`0 0 ${VIEW.width} ${VIEW.height}`} aria-hidden="true">
      <clipPath id={inside}>
        <path d={tubeOutline} />
      </clipPath>
      <g clip-path={`url(#${inside})`}>
        <rect
          class="tube-layer waiting-layer"
          x={BORE.left}
          width={BORE.width}
          y={BORE.bottom / 2}
          height={VIEW.height}
        />
      </g>
      <path class="tube-glass" d={tubeOutline} />
    </svg>
  );
}
