/** A time series with error bars, drawn as SVG: it uses the theme's colours, and those of paper in print. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { number, shortDay } from "../i18n/format";
import type { ChartBand, ChartPoint } from "./chart-scale";
import { FIELD, type Scale, scaleOf } from "./chart-scale";

/** A moment at which something changed, drawn as a vertical line. */
export interface ChartMark {
  at: number;
  label: string;
}

export interface ChartProps {
  /** A one-sentence summary of the chart for screen readers: the list beside it has the figures. */
  name: string;
  unit: string;
  /** Oldest first. */
  points: readonly ChartPoint[];
  marks?: readonly ChartMark[];
  /** Drawn faintly behind the points; oldest first. */
  line?: readonly ChartPoint[];
  band?: ChartBand | null;
}

/** Before layout: the width of a phone. */
const USUAL_WIDTH = 328;
/** px, unless the person has set larger text */
const USUAL_TEXT = 16;
/** Points are smaller if there are many. */
const CROWD = 20;

export function Chart({ name, unit, points, marks = [], line = [], band = null }: ChartProps) {
  const box = useRef<HTMLElement>(null);
  const { width, letters } = useSizes(box);
  if (points.length === 0) return null;
  const scale = scaleOf({ points, line, band }, width, letters);
  const size = points.length > CROWD ? 3 : 5;
  return (
    <figure ref={box} class="chart">
      <svg class="chart-box" viewBox={`0 0 ${width} ${scale.height}`} role="img" aria-label={name} focusable="false">
        <Axes scale={scale} unit={unit} />
        {band && <Band band={band} scale={scale} />}
        {line.length > 1 && (
          <polyline
            class="chart-line"
            points={line.map(({ at, value }) => `${scale.x(at)},${scale.y(value)}`).join(" ")}
          />
        )}
        {marks.map((mark) => (
          <Mark key={mark.at} mark={mark} scale={scale} />
        ))}
        {points.map((point) => (
          <Point key={`${point.at} ${point.value}`} point={point} scale={scale} size={size} />
        ))}
      </svg>
    </figure>
  );
}

function Axes({ scale, unit }: { scale: Scale; unit: string }) {
  const { letters, x, y, moments, values, left, right, bottom } = scale;
  return (
    <g class="chart-axes">
      {values.map((value) => (
        <g key={value}>
          <line x1={left} x2={right} y1={y(value)} y2={y(value)} />
          <text x={left - 7} y={y(value)} dy="0.35em" text-anchor="end">
            {`${number(value, 0)} ${unit}`}
          </text>
        </g>
      ))}
      {moments.map((at, index) => (
        <g key={at}>
          <line class="chart-tick" x1={x(at)} x2={x(at)} y1={bottom} y2={bottom + 6} />
          <text x={x(at)} y={bottom + 19 * letters} text-anchor="middle">
            {shortDay(at)}
          </text>
          {yearOf(at) !== yearOf(moments[index - 1]) && (
            <text x={x(at)} y={bottom + 34 * letters} text-anchor="middle">
              {yearOf(at)}
            </text>
          )}
        </g>
      ))}
      <line class="chart-tick" x1={left} x2={right} y1={bottom} y2={bottom} />
    </g>
  );
}

function yearOf(at: number | undefined): number | null {
  return at === undefined ? null : new Date(at).getFullYear();
}

/** Hatched, with a line above and below, so that it is visible in sunlight and on paper. */
function Band({ band, scale }: { band: ChartBand; scale: Scale }) {
  const hatch = `hatch${useId().replace(/\W/g, "")}`;
  const [left, top, foot] = [scale.x(band.from), scale.y(band.high), scale.y(band.low)];
  return (
    <g class="chart-band">
      <pattern id={hatch} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line x1="0" x2="0" y1="0" y2="6" />
      </pattern>
      <rect x={left} y={top} width={scale.right - left} height={foot - top} fill={`url(#${hatch})`} />
      <path d={`M${left} ${top}H${scale.right}M${left} ${foot}H${scale.right}`} />
    </g>
  );
}

function Mark({ mark, scale }: { mark: ChartMark; scale: Scale }) {
  const x = scale.x(mark.at);
  if (x < scale.left || x > scale.right) return null;
  const toRight = x < (scale.left + scale.right) / 2;
  return (
    <g class="chart-mark">
      <line x1={x} x2={x} y1={FIELD.top} y2={scale.bottom} />
      <text x={x + (toRight ? 6 : -6)} y={FIELD.top + 11 * scale.letters} text-anchor={toRight ? "start" : "end"}>
        {mark.label}
      </text>
    </g>
  );
}

function Point({ point, scale, size }: { point: ChartPoint; scale: Scale; size: number }) {
  const [x, y] = [scale.x(point.at) + (point.second ? 2 * size : 0), scale.y(point.value)];
  const ends = point.spread === null ? [] : [point.value - point.spread, point.value + point.spread].map(scale.y);
  const cap = 0.8 * size;
  return (
    <g class="chart-point">
      {ends.length > 0 && (
        <path d={`M${x} ${ends[0]}V${ends[1]}${ends.map((end) => `M${x - cap} ${end}h${2 * cap}`).join("")}`} />
      )}
      <Shape point={point} x={x} y={y} size={size} />
    </g>
  );
}

function Shape({ point, x, y, size }: { point: ChartPoint; x: number; y: number; size: number }) {
  if (point.second) {
    return <rect class="chart-second" x={x - size} y={y - size} width={2 * size} height={2 * size} />;
  }
  if (!point.wrong) return <circle cx={x} cy={y} r={size} />;
  const cross = `M${x - size} ${y - size}l${2 * size} ${2 * size}m${-2 * size} 0l${2 * size} ${-2 * size}`;
  return <path class="chart-wrong" d={cross} />;
}

/** The box's width in CSS pixels, so that letters keep their size, and their size relative to the usual one. */
function useSizes(box: { current: HTMLElement | null }): { width: number; letters: number } {
  const [width, setWidth] = useState(USUAL_WIDTH);
  const [letters, setLetters] = useState(1);
  useEffect(() => {
    const target = box.current;
    if (!target) return;
    const look = () => {
      setWidth(Math.max(200, target.clientWidth || USUAL_WIDTH));
      const text = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
      setLetters((text || USUAL_TEXT) / USUAL_TEXT);
    };
    look();
    const watch = new ResizeObserver(look);
    watch.observe(target);
    return () => watch.disconnect();
  }, []);
  return { width, letters };
}
