/** Where things stand in a chart: from moments and values to units of the drawing, with the ticks of both axes. */

/** What may be expected from one moment on, to the edge of the chart. */
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
  /** Drawn as a cross: it is taken for a gross error. */
  wrong?: boolean;
  /** Drawn as a hollow square, a little to the right: of a second series. */
  second?: boolean;
}

export interface Shown {
  points: readonly ChartPoint[];
  line: readonly ChartPoint[];
  band: ChartBand | null;
}

/** Room for the axes, in units of the drawing, beside letters of the usual size. */
export const FIELD = { left: 46, right: 8, top: 8, bottom: 40, height: 240 } as const;

const DAY = 86_400_000;
/** Points of the unit from the lowest to the highest value at least. */
const LEAST_HEIGHT = 10;
/** Units from one tick to the next at least: in a wide font `30 sept.` has 53 units, `1 sept.` 45. */
const ROOM_DAY = 56;
const ROOM_MONTH = 48;
const ROOM_Y = 30;
const STEPS = [1, 2, 5, 10, 20, 50, 100] as const;
/** Steps of the time axis: some days, or some months and how many days they have at least. */
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
  /** How many times as large as usual the letters are. */
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

/** For a drawing that is so many units wide. */
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
    // The last date is whole inside the drawing.
    moments: momentsIn(first, first + (width - (letters * ROOM_DAY) / 2 - left) * perUnit, letters * perUnit),
    values: valuesIn(low, high, Math.floor((bottom - FIELD.top) / (letters * ROOM_Y))),
    left,
    right,
    bottom,
    height: bottom + letters * FIELD.bottom,
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

/**
 * Midnights of the phone's time zone, far enough apart for their dates: every few days, or the first of every few months;
 * where no such month begins, one in the middle. perUnit: ms in one unit of usual letters.
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
