/** What changed at a source since the list was last looked at: only what the intervals make a change. */

import type { SourceFigures } from "../rows/source-figures";
import type { Standing } from "../rows/star";
import { freshChange } from "./level";
import { oddOf } from "./odd";
import { isUnknown } from "./ranking";

/** One's own last test from the pump there, %; expanded_uncertainty at 95 %. */
export interface LastFill {
  sampled_at: string;
  content: number;
  expanded_uncertainty: number;
}

/** What this phone knows of a source now. tests: of others, those that count. */
export interface Known {
  tests: number;
  figures: SourceFigures | null;
  fill: LastFill | null;
}

type Direction = "up" | "down";
type Interval = readonly [number, number];

/**
 * tests: of others, that came since. change: a change of level that was not known then. fill: what comes next differs
 * from what one got there oneself. level: so does the content now from the content then.
 */
export type News =
  | { what: "tests"; since: string; tests: number }
  | { what: "change"; at: string; direction: string }
  | { what: "fill"; direction: Direction; fill: LastFill; next: Interval }
  | { what: "level"; direction: Direction; since: string; before: Interval; now: Interval };

/** How a source stands at a look; before: at the last one. */
export function standingOf({ tests, figures }: Known, before: Standing | null, now: Date): Standing {
  return {
    at: now.toISOString(),
    tests: Math.max(tests, before?.tests ?? 0),
    change: (figures && freshChange(figures, now)?.direction) ?? null,
    level: figures?.typical_interval ?? null,
  };
}

/** The news of a source; seen: how it stood at the look before, null where there was none. */
export function newsOf(known: Known, seen: Standing | null, now: Date): News[] {
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
 * A change since one's own last fill is told where that lies beyond the next fill as an odd result does, and somebody
 * has sampled on a later day: what the season alone lets expect is no change that was seen.
 */
function sinceFill(fill: LastFill | null, figures: SourceFigures): News | null {
  if (fill === null || figures.last_sampled_at.slice(0, 10) <= fill.sampled_at.slice(0, 10)) return null;
  const odd = oddOf({ ...fill, sampled: "pump" }, figures);
  return odd && { what: "fill", direction: odd.side === "above" ? "down" : "up", fill, next: odd.expected };
}

/** Against the last look: told where the two intervals (9 of 10 each) have nothing in common. */
function sinceLook(seen: Standing | null, figures: SourceFigures): News | null {
  if (!seen?.level || isUnknown(figures)) return null;
  const [before, now] = [seen.level, figures.typical_interval];
  const direction = now[1] < before[0] ? "down" : now[0] > before[1] ? "up" : null;
  return direction && { what: "level", direction, since: seen.at, before, now };
}
