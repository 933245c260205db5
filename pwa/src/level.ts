/** The level of a source: what the season makes of it, and since when it lies where it does. */

import { at_day } from "./statistics/season";
import type { SourceFigures } from "./store/schema";

const DAY = 86_400_000;
/** Days between two points of a baseline: months are far wider. */
const STEP = 7;
/** Days for which a change of level is news. */
const NEWS = 120;

export interface BaselinePoint {
  /** ms since 1970 */
  at: number;
  /** % */
  value: number;
}

/**
 * What level and season let expect at a source, from where its level holds (or `from`, where that is later) to `to`.
 * months: the season's part by month of the year, %. computed_at: the moment that `figures.typical` stands for.
 */
export function baselineOf(
  figures: SourceFigures,
  months: readonly number[],
  computed_at: number,
  [from, to]: readonly [number, number],
): BaselinePoint[] {
  const level = figures.typical - at_day(months, computed_at / DAY);
  const first = Math.max(from, figures.level_since === undefined ? from : Date.parse(figures.level_since));
  const times: number[] = [];
  for (let at = first; at < to; at += STEP * DAY) times.push(at);
  times.push(to);
  return times.map((at) => ({ at, value: level + at_day(months, at / DAY) }));
}

/** The last change of level, while it is news; else null. */
export function freshChange(
  figures: Pick<SourceFigures, "changes">,
  now: Date,
): SourceFigures["changes"][number] | null {
  const last = figures.changes.at(-1);
  return last && now.getTime() - Date.parse(last.at) < NEWS * DAY ? last : null;
}
