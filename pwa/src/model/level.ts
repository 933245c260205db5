/** The level of a source: the effect of the season, and since when the level has held. */

import type { SourceFigures } from "../rows/source-figures";
import { at_day, type Season } from "../statistics/season";

const DAY = 86_400_000;
/** Days between two points of a baseline: the half-months of a season are wider. */
const STEP = 7;
/** Days for which a change of level is news. */
const NEWS = 120;
/** A share of the half-width of the level's interval. */
const OPEN = 0.5;

export interface BaselinePoint {
  /** ms since 1970 */
  at: number;
  /** % */
  value: number;
}

/**
 * What level and season predict at a source, from the start of the present level (or `from`, if that is later) to `to`.
 * season: the region's, flat if null. computed_at: the moment to which `figures.typical` refers.
 */
export function baselineOf(
  figures: SourceFigures,
  season: Season | null,
  computed_at: number,
  [from, to]: readonly [number, number],
): BaselinePoint[] {
  const above = (at: number) => (season ? at_day(season, at / DAY) : 0);
  const level = figures.typical - above(computed_at);
  const first = Math.max(from, figures.level_since === undefined ? from : Date.parse(figures.level_since));
  const times: number[] = [];
  for (let at = first; at < to; at += STEP * DAY) times.push(at);
  times.push(to);
  return times.map((at) => ({ at, value: level + above(at) }));
}

/** The last change of level, while it is news; else null. */
export function freshChange(
  figures: Pick<SourceFigures, "changes">,
  now: Date,
): SourceFigures["changes"][number] | null {
  const last = figures.changes.at(-1);
  return last && now.getTime() - Date.parse(last.at) < NEWS * DAY ? last : null;
}

/** Whether what is unknown about the season is a large part of the present level's uncertainty. */
export function isSeasonOpen(figures: Pick<SourceFigures, "season_uncertainty" | "typical_interval">): boolean {
  const [low, high] = figures.typical_interval;
  return (figures.season_uncertainty ?? 0) > OPEN * ((high - low) / 2);
}
