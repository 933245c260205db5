/** The scale of a chart: from moments and values to drawing units, with the ticks of both axes. */

/** The expected range from a moment on, to the edge of the chart. */
export interface ChartBand {
  from: number;
  low: number;
  high: number;
}

export interface ChartPoint {
  /** ms since 1970 */
  at: number;
  value: number;
  /** Half-width of the error bar. */
  spread: number | null;
  /** Drawn as a cross: treated as a gross error. */
  wrong?: boolean;
  /** Drawn as a hollow square, slightly to the right: a second series. */
  second?: boolean;
}

export interface Shown {
  points: readonly ChartPoint[];
  line: readonly ChartPoint[];
  band: ChartBand | null;
}

/** Space for the axes, in drawing units, with letters of the usual size. */
export const FIELD = { left: 46, right: 8, top: 8, bottom: 40, height: 240 } as const;

const DAY = 86_400_000;
/** The smallest height of the value axis, points. */
const LEAST_HEIGHT = 10;
/** The smallest distance between two ticks, units: in a wide font `30 sept.` needs 53 units, `1 sept.` 45. */
const ROOM_DAY = 56;
const ROOM_MONTH = 48;
const ROOM_Y = 30;
const STEPS = [1, 2, 5, 10, 20, 50, 100] as const;
/** Steps of the time axis: some days, or some months with their least number of days. */
const DAYS = [1, 2, 7, 14] as const;
const MONTHS = [
  [1, 28],
  [2, 59],
  [3, 90],
  [6, 181],
  [12, 365],
  [24, 730],
  [60, 1826],
] as const;

export interface Scale {
  /** The size of the letters, relative to the usual one. */
  letters: number;
  x: (at: number) => number;
  y: (value: number) => number;
  /** ms since 1970 */
  moments: number[];
  values: number[];
  left: number;
  right: number;
  bottom: number;
  height: number;
}

/** The scale for a drawing of this width in units. */
export function scaleOf(shown: Shown, width: number, letters = 1): Scale {
  const left = letters * FIELD.left;
  const right = width - FIELD.right;
  const bottom = FIELD.height - FIELD.bottom;
  const [first, last] = spanOf(shown);
  const [low, high] = limitsOf(shown);
  const perUnit = (last - first) / (right - left);
  return {
    letters,
    x: (at) => left + (at - first) / perUnit,
    y: (value) => bottom - ((value - low) / (high - low)) * (bottom - FIELD.top),
    // The last date fits inside the drawing.
    moments: momentsIn(first, first + (width - (letters * ROOM_DAY) / 2 - left) * perUnit, letters * perUnit),
    values: valuesIn(low, high, Math.floor((bottom - FIELD.top) / (letters * ROOM_Y))),
    left,
    right,
    bottom,
    height: bottom + letters * FIELD.bottom,
  };
}

/** A margin on both sides, at least two weeks, so that a single point is in the middle; wider for a band. */
function spanOf({ points, line, band }: Shown): [number, number] {
  const times = [...points, ...line].map((point) => point.at);
  const first = Math.min(...times);
  const last = Math.max(...times, band?.from ?? first);
  const margin = Math.max((last - first) * 0.06, 14 * DAY);
  return [first - margin, last + (band ? 2 : 1) * margin];
}

/** With the whole error bars, at least ten points high. */
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

/**
 * Midnights in the phone's time zone, with enough distance for their dates: every few days, or the first of every few
 * months; if no such month starts, one in the middle. perUnit: ms per unit at the usual letter size.
 */
function momentsIn(first: number, last: number, perUnit: number): number[] {
  const days = DAYS.find((step) => step * DAY >= ROOM_DAY * perUnit);
  if (days) return everyDays(first, last, days);
  const months = MONTHS.find(([, step]) => step * DAY >= ROOM_MONTH * perUnit);
  const found = months ? everyMonths(first, last, months[0]) : [];
  return found.length > 0 ? found : everyDays((first + last) / 2, last, 1).slice(0, 1);
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
