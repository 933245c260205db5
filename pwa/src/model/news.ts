/** What changed at a source since the list was last viewed: only changes that the intervals support. */

import type { SourceFigures } from "../rows/source-figures";
import type { SeenState } from "../rows/star";
import { freshChange } from "./level";
import { oddOf } from "./odd";
import { isUnknown } from "./ranking";

/** The driver's own last test from the pump there, %; expanded_uncertainty at 95 %. */
export interface LastFill {
  sampled_at: string;
  content: number;
  expanded_uncertainty: number;
}

/** What this phone now knows about a source. tests: other people's, those that count. */
export interface Known {
  tests: number;
  figures: SourceFigures | null;
  fill: LastFill | null;
}

type Direction = "up" | "down";
type Interval = readonly [number, number];

/**
 * tests: other people's, new since then. change: a change of level that was not known then. fill: the next fill is
 * expected to differ from the driver's last one there. level: the content now differs from the content then.
 */
export type News =
  | { what: "tests"; since: string; tests: number }
  | { what: "change"; at: string; direction: string }
  | { what: "fill"; direction: Direction; fill: LastFill; next: Interval }
  | { what: "level"; direction: Direction; since: string; before: Interval; now: Interval };

/** The state of a source when viewed; before: the state at the previous view. */
export function seenStateOf({ tests, figures }: Known, before: SeenState | null, now: Date): SeenState {
  return {
    at: now.toISOString(),
    tests: Math.max(tests, before?.tests ?? 0),
    change: (figures && freshChange(figures, now)?.direction) ?? null,
    level: figures?.typical_interval ?? null,
  };
}

/** The news about a source; seen: its state at the previous view, null if there was none. */
export function newsOf(known: Known, seen: SeenState | null, now: Date): News[] {
  const { tests, figures } = known;
  const news: News[] = [];
  if (seen !== null && tests > seen.tests) news.push({ what: "tests", since: seen.at, tests: tests - seen.tests });
  if (figures === null) return news;
  const change = freshChange(figures, now);
  if (seen !== null && change !== null && change.direction !== seen.change) news.push({ what: "change", ...change });
  const moved = sinceFill(known.fill, figures) ?? sinceLook(seen, figures);
  return moved === null ? news : [...news, moved];
}

/**
 * A change since the driver's own last fill is news if that fill would be an odd result for the next one, and somebody
 * has sampled on a later day: what the season alone predicts is not a change that was seen.
 */
function sinceFill(fill: LastFill | null, figures: SourceFigures): News | null {
  if (fill === null || figures.last_sampled_at.slice(0, 10) <= fill.sampled_at.slice(0, 10)) return null;
  const odd = oddOf({ ...fill, sampled: "pump" }, figures);
  return odd && { what: "fill", direction: odd.side === "above" ? "down" : "up", fill, next: odd.expected };
}

/** Compared with the last view: news if the two intervals (9 of 10 each) do not overlap. */
function sinceLook(seen: SeenState | null, figures: SourceFigures): News | null {
  if (!seen?.level || isUnknown(figures)) return null;
  const [before, now] = [seen.level, figures.typical_interval];
  const direction = now[1] < before[0] ? "down" : now[0] > before[1] ? "up" : null;
  return direction && { what: "level", direction, since: seen.at, before, now };
}
