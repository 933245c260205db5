/** Where things stand in a chart: from moments and values to units of the drawing, with the ticks of both axes. */

import type { ChartBand, ChartPoint } from "./chart";

export interface Shown {
  points: readonly ChartPoint[];
  line: readonly ChartPoint[];
  band: ChartBand | null;
}

/** Room for the axes, in units of the drawing. */
export const FIELD = { left: 46, right: 8, top: 8, bottom: 40, height: 240 } as const;

const DAY = 86_400_000;
/** Points of the unit from the lowest to the highest value at least. */
const LEAST_HEIGHT = 10;
/** Units from one tick to the next at least. */
const ROOM_X = 44;
const ROOM_Y = 30;
const STEPS = [1, 2, 5, 10, 20, 50, 100] as const;
/** Steps of the time axis: some days, or some months. */
const DAYS = [1, 2, 7, 14] as const;
const MONTHS = [1, 2, 3, 6, 12, 24, 60] as const;

export interface Scale {
  x: (at: number) => number;
  y: (value: number) => number;
  /** ms since 1970 */
  moments: number[];
  values: number[];
  right: number;
  bottom: number;
}

/** For a drawing that is so many units wide. */
export function scaleOf(shown: Shown, width: number): Scale {
  const right = width - FIELD.right;
  const bottom = FIELD.height - FIELD.bottom;
  const [first, last] = spanOf(shown);
  const [low, high] = limitsOf(shown);
  return {
    x: (at) => FIELD.left + ((at - first) / (last - first)) * (right - FIELD.left),
    y: (value) => bottom - ((value - low) / (high - low)) * (bottom - FIELD.top),
    moments: momentsIn(first, last, Math.max(1, Math.floor((right - FIELD.left) / ROOM_X))),
    values: valuesIn(low, high, Math.floor((bottom - FIELD.top) / ROOM_Y)),
    right,
    bottom,
  };
}

/** A margin on both sides, at least two weeks, so that one point stands in the middle; wider for a band. */
function spanOf({ points, line, band }: Shown): [number, number] {
  const times = [...points, ...line].map((point) => point.at);
  const first = Math.min(...times);
  const last = Math.max(...times, band?.from ?? first);
  const margin = Math.max((last - first) * 0.06, 14 * DAY);
  return [first - margin, last + (band ? 2 : 1) * margin];
}

/** The bars whole, at least ten points high. */
function limitsOf({ points, line, band }: Shown): [number, number] {
  const shown = [...points, ...line];
  const low = Math.min(...shown.map((point) => point.value - (point.spread ?? 0)), ...(band ? [band.low] : []));
  const high = Math.max(...shown.map((point) => point.value + (point.spread ?? 0)), ...(band ? [band.high] : []));
  const margin = Math.max(2, (LEAST_HEIGHT - (high - low)) / 2);
  return [Math.floor(low - margin), Math.ceil(high + margin)];
}

function valuesIn(low: number, high: number, most: number): number[] {
  const step = STEPS.find((size) => (high - low) / size <= most) ?? 200;
  const first = Math.ceil(low / step);
  const count = Math.floor(high / step) - first + 1;
  return Array.from({ length: count }, (_, index) => (first + index) * step);
}

/** Midnights of the phone's time zone, at most so many: every few days, or the first of every few months. */
function momentsIn(first: number, last: number, most: number): number[] {
  for (const days of DAYS) {
    if ((last - first) / DAY / days <= most) return everyDays(first, last, days);
  }
  for (const months of MONTHS) {
    const found = everyMonths(first, last, months);
    if (found.length <= most) return found;
  }
  return [];
}

function everyDays(first: number, last: number, days: number): number[] {
  const start = new Date(first);
  const found: number[] = [];
  for (let index = 1; ; index += days) {
    const at = new Date(start.getFullYear(), start.getMonth(), start.getDate() + index).getTime();
    if (at > last) return found;
    found.push(at);
  }
}

function everyMonths(first: number, last: number, months: number): number[] {
  const start = new Date(first);
  const found: number[] = [];
  const begin = Math.ceil((start.getMonth() + 1) / months) * months;
  for (let month = begin; ; month += months) {
    const at = new Date(start.getFullYear(), month, 1).getTime();
    if (at > last) return found;
    found.push(at);
  }
}
