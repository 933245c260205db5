/**
 * A tall tube with a parting line to drag along its scale. It is for the thumb; keyboards and screen readers have the
 * number field beside it, so it is hidden from them.
 */

import { useRef } from "preact/hooks";
import { number } from "../i18n/format";

export interface LinePickerProps {
  /** Ends of the line's possible range on the scale. */
  low: number;
  high: number;
  /** Smallest step. */
  step: number;
  /** The part below the scale (water to its mark), as a share of the whole filling, 0 to below 1. */
  below: number;
  value: number | null;
  onValue: (value: number) => void;
}

const WIDTH = 88;
const HEIGHT = 304;
const GLASS = { left: 4, width: 34, top: 12, bottom: 296 } as const;

export function LinePicker({ low, high, step, below, value, onValue }: LinePickerProps) {
  const drawing = useRef<SVGSVGElement>(null);
  const span = GLASS.bottom - 6 - GLASS.top;
  const floor = GLASS.bottom - span * below;
  const heightOf = (at: number) => floor - ((at - low) / (high - low)) * (floor - GLASS.top);
  const take = (event: PointerEvent) => {
    const box = drawing.current?.getBoundingClientRect();
    if (!box) return;
    const y = ((event.clientY - box.top) / box.height) * HEIGHT;
    const share = (floor - y) / (floor - GLASS.top);
    const nearest = Math.round((low + share * (high - low)) / step) * step;
    onValue(Math.min(high, Math.max(low, Number(nearest.toFixed(6)))));
  };
  const line = value === null ? null : heightOf(value);
  const outline = `M${GLASS.left} ${GLASS.top - 8}V${GLASS.bottom - 17}a17 17 0 0 0 34 0V${GLASS.top - 8}`;
  return (
    <svg
      ref={drawing}
      class="line-tube"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      aria-hidden="true"
      focusable="false"
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        take(event);
      }}
      onPointerMove={(event) => {
        if (event.currentTarget.hasPointerCapture(event.pointerId)) take(event);
      }}
    >
      <clipPath id="line-glass">
        <path d={outline} />
      </clipPath>
      <g clip-path="url(#line-glass)">
        <rect class="line-upper" x={GLASS.left} y={GLASS.top} width={GLASS.width} height={HEIGHT} />
        <rect class="line-lower" x={GLASS.left} y={line ?? floor} width={GLASS.width} height={HEIGHT} />
      </g>
      <path class="tube-glass" d={outline} />
      {marksBetween(low, high, floor - GLASS.top).map(({ at, major }) => (
        <g key={at}>
          <line
            class={major ? "line-major" : "line-minor"}
            x1={GLASS.left + GLASS.width}
            x2={GLASS.left + GLASS.width + (major ? 14 : 8)}
            y1={heightOf(at)}
            y2={heightOf(at)}
          />
          {major && (
            <text x={GLASS.left + GLASS.width + 19} y={heightOf(at)}>
              {number(at, 0)}
            </text>
          )}
        </g>
      ))}
      {line !== null && <Handle y={line} />}
    </svg>
  );
}

function Handle({ y }: { y: number }) {
  return (
    <g>
      <line class="tube-line" x1={0} x2={GLASS.left + GLASS.width + 8} y1={y} y2={y} />
      <path class="line-handle" d={`M46 ${y}l14-11h22v22h-22z`} />
      <path class="line-grip" d={`M68 ${y - 5}h8M68 ${y}h8M68 ${y + 5}h8`} />
    </g>
  );
}

const SIZES = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500] as const;

/** Graduations a person can tell apart on `height` units: at least 3 units between two, 20 between two numbers. */
export function marksBetween(low: number, high: number, height: number): { at: number; major: boolean }[] {
  const sizeFor = (room: number) => SIZES.find((size) => (size / (high - low)) * height >= room) ?? high - low;
  const fine = sizeFor(3);
  const coarse = SIZES.find((size) => size >= sizeFor(20) && isWhole(size / fine)) ?? fine;
  const first = Math.ceil(low / fine - 1e-9);
  const last = Math.floor(high / fine + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, index) => {
    const at = Number(((first + index) * fine).toFixed(6));
    return { at, major: isWhole(at / coarse) };
  });
}

function isWhole(value: number): boolean {
  return Math.abs(value - Math.round(value)) < 1e-9;
}
