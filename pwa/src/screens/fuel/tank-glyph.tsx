/** A tank filled to its litres: hatched below a drawn level, so that it is visible without colour. */

import { useId } from "preact/hooks";
import { labels } from "../../i18n";
import { volume } from "../../i18n/format";
import type { Tank } from "../../rows/vehicle";
import { settings } from "../../state/signals";

/** In drawing units; y grows downwards. */
const VIEW = { width: 100, height: 76 } as const;
const INSIDE = { left: 4, top: 14, width: 84, height: 58 } as const;
const BODY = "M14 14H78a10 10 0 0 1 10 10V62a10 10 0 0 1-10 10H14a10 10 0 0 1-10-10V24a10 10 0 0 1 10-10Z";
/** The filler pipe and its cap. */
const PIPE = "M64 14V5M76 14V5M59 4H81";
const QUARTERS = [0.25, 0.5, 0.75] as const;

export function TankGlyph({ tank }: { tank: Tank }) {
  const id = `tank${useId().replace(/\W/g, "")}`;
  const share = shareOf(tank);
  const level = share === null ? null : heightOf(share);
  return (
    <svg
      class="tank"
      viewBox={`0 0 ${VIEW.width} ${VIEW.height}`}
      role="img"
      aria-label={nameOf(tank)}
      focusable="false"
      data-share={share ?? undefined}
    >
      {level !== null && (
        <>
          <clipPath id={`${id}c`}>
            <path d={BODY} />
          </clipPath>
          <pattern id={`${id}h`} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="tank-hatch" x1="0" x2="0" y1="0" y2="6" />
          </pattern>
          <g clip-path={`url(#${id}c)`}>
            <rect x={INSIDE.left} width={INSIDE.width} y={level} height={VIEW.height} fill={`url(#${id}h)`} />
            <path class="tank-level" d={`M${INSIDE.left} ${level}h${INSIDE.width}`} />
          </g>
        </>
      )}
      <path class={level === null ? "tank-wall tank-unused" : "tank-wall"} d={BODY} />
      <path class="tank-wall" d={PIPE} />
      {QUARTERS.map((quarter) => (
        <path key={quarter} class="tank-tick" d={`M91 ${heightOf(quarter)}h${quarter === 0.5 ? 8 : 5}`} />
      ))}
    </svg>
  );
}

/** How full it is, 0..1; null while its size or its volume is unknown. */
function shareOf({ capacity, volume: litres }: Tank): number | null {
  return capacity === null || capacity === 0 || litres === null ? null : Math.min(1, Math.max(0, litres / capacity));
}

function heightOf(share: number): number {
  return INSIDE.top + INSIDE.height * (1 - share);
}

function nameOf({ capacity, volume: litres }: Tank): string {
  const words = labels.fuel.tank;
  if (litres === null) return words.drawnUnknown;
  const inside = volume(litres, settings.value);
  return words.drawn(capacity === null ? inside : words.holds(inside, volume(capacity, settings.value)));
}
