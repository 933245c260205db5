/** The outline of a tube with its marks, drawn over a picture of the same size: white on black, on any picture. */

import { mL } from "../i18n/format";
import type { Guide, Size } from "../model/sight";

/** How far a mark extends beyond the glass on each side, as a share of the tube's width. */
const BEYOND = 0.25;
/** As a share of the picture's height. */
const TEXT = 0.03;

export function GuideOutline({ size, guide }: { size: Size; guide: Guide }) {
  const { marks, volumes, width } = guide;
  const [left, right] = [marks.bottom.x - width / 2, marks.bottom.x + width / 2];
  const foot = Math.min(size.height - 2, marks.bottom.y + 0.3 * width);
  const head = Math.max(2, marks.fuel.y - 0.5 * width);
  const wall = `M${left} ${head}V${foot - width / 6}Q${left} ${foot} ${left + width / 6} ${foot}H${right - width / 6}Q${right} ${foot} ${right} ${foot - width / 6}V${head}`;
  const text = TEXT * size.height;
  return (
    <svg class="guide-outline" viewBox={`0 0 ${size.width} ${size.height}`} aria-hidden="true" focusable="false">
      <path class="mark-casing" d={wall} />
      <path class="mark-stroke" d={wall} />
      {(["bottom", "water", "fuel"] as const).map((name) => {
        const across = `M${left - BEYOND * width} ${marks[name].y}H${right + BEYOND * width}`;
        return (
          <g key={name}>
            <path class="mark-casing" d={across} />
            <path class="mark-stroke mark-strong" data-mark={name} data-y={marks[name].y} d={across} />
            <text x={right + (BEYOND + 0.1) * width} y={marks[name].y + text / 3} font-size={text}>
              {mL(volumes[name], 0)}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
