// What the season alone makes of the content. Twin of statistics/season.py, which explains the fit.
import { huber, median } from "./robust";

export const MONTHS = 12;
export const YEAR = 365.2425;
export const ROUNDS = 12;
export const LEAST_MONTHS = 3;
export const TO_COUNTRY = 4;
export const TO_NOTHING = 0.5;
export const FLAT: readonly number[] = Array.from({ length: MONTHS }, () => 0);

/** The mean content of one source in one calendar month, %; month: 0 for January to 11 for December. */
export interface Cell {
  readonly source: string;
  readonly month: number;
  readonly content: number;
}

/** Return twelve deviations by month of the year, %, whose mean is 0; `country`: what to draw thin months to. */
export function baseline_of(cells: readonly Cell[], country: readonly number[] | null = null): number[] {
  const target = country ?? FLAT;
  const shrinkage = country === null ? TO_NOTHING : TO_COUNTRY;
  const by_source = new Map<string, Cell[]>();
  for (const cell of cells) by_source.set(cell.source, [...(by_source.get(cell.source) ?? []), cell]);
  const telling = [...by_source.values()].filter(
    (group) => new Set(group.map((cell) => cell.month)).size >= LEAST_MONTHS,
  );
  let months = [...target];
  for (let round = 0; round < ROUNDS; round++) {
    const left: number[][] = FLAT.map(() => []);
    for (const group of telling) {
      const level = median(group.map((cell) => cell.content - (months[cell.month] as number)));
      for (const cell of group) (left[cell.month] as number[]).push(cell.content - level);
    }
    months = centred(left.map((values, month) => drawn(values, target[month] as number, shrinkage)));
  }
  return centred(smoothed(months));
}

/** Return the mean season of some regions, each [tests, months] by its tests; null without any. */
export function country_of(seasons: readonly (readonly [number, readonly number[]])[]): number[] | null {
  const total = sum(seasons.map(([tests]) => tests));
  if (total <= 0) return null;
  return FLAT.map((_, month) => sum(seasons.map(([tests, months]) => (tests / total) * (months[month] as number))));
}

/** Return a baseline at a day since 1970-01-01 UTC: linear between the middles of the months, round the year. */
export function at_day(months: readonly number[], day: number): number {
  const place = (day / YEAR - Math.floor(day / YEAR)) * MONTHS - 0.5;
  const below = Math.floor(place);
  const share = place - below;
  const at = (month: number) => months[(month + MONTHS) % MONTHS] as number;
  return (1 - share) * at(below) + share * at(below + 1);
}

/** Return the source-month means of [day, content] by source; a month of another year is another cell. */
export function cells_of(contents: Readonly<Record<string, readonly (readonly [number, number])[]>>): Cell[] {
  const found: Cell[] = [];
  for (const source of Object.keys(contents).sort()) {
    const by_month = new Map<number, number[]>();
    for (const [day, content] of contents[source] as readonly (readonly [number, number])[]) {
      const number = Math.floor((day / YEAR) * MONTHS);
      by_month.set(number, [...(by_month.get(number) ?? []), content]);
    }
    for (const [number, group] of [...by_month].sort(([a], [b]) => a - b))
      found.push({ source, month: number % MONTHS, content: sum(group) / group.length });
  }
  return found;
}

function drawn(values: readonly number[], target: number, shrinkage: number): number {
  if (values.length === 0) return target;
  const weight = values.length / (values.length + shrinkage);
  return weight * huber(values)[0] + (1 - weight) * target;
}

function smoothed(months: readonly number[]): number[] {
  const once = with_neighbours(months);
  const left = with_neighbours(months.map((value, month) => value - (once[month] as number)));
  return once.map((smooth, month) => smooth + (left[month] as number));
}

function with_neighbours(months: readonly number[]): number[] {
  const at = (month: number) => months[(month + MONTHS) % MONTHS] as number;
  return months.map((value, month) => (at(month - 1) + 2 * value + at(month + 1)) / 4);
}

function centred(months: readonly number[]): number[] {
  const mean = sum(months) / MONTHS;
  return months.map((value) => value - mean);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
