/** The readings at a source that count, one's own and those of others, as the statistics take them. */

import type { Visit } from "../statistics/visits";
import { mergedInto } from "./merges";
import type { OwnTest, PulledTest, Writing } from "./schema";
import type { Identity } from "./settings";

export const DAY = 86_400_000;
/** Older readings say nothing of the next fill. */
const WINDOW_DAYS = 730;

/**
 * One's own readings unless taken back or held, and those of others, from the pump only: cans age, and a tank holds more
 * than one fill. A test of one's own that came back with a pull counts once.
 */
export function readingsOf(own: OwnTest[], pulled: PulledTest[], contributor: string): Visit[] {
  const mine = new Set(own.map((row) => row.id));
  const readings = own
    .filter((row) => counts(row) && row.test.sampled === "pump")
    .map((row) => reading(row.test, row.test.content, row, contributor));
  for (const row of pulled) {
    if (mine.has(row.id) || row.figures === null || row.test.sampled !== "pump") continue;
    readings.push(reading(row.test, row.figures.content, row.figures, row.contributor));
  }
  return readings;
}

/** The readings of the last two years at one source and those merged into it. */
export async function readingsAt(writing: Writing, source: string, now: Date): Promise<Visit[]> {
  const ids = await mergedInto(writing.objectStore("merged"), source);
  const [own, pulled, identity] = await Promise.all([
    Promise.all(ids.map((id) => writing.objectStore("own_tests").index("by_source").getAll(id))),
    Promise.all(ids.map((id) => writing.objectStore("pulled_tests").index("by_source").getAll(id))),
    writing.objectStore("settings").get("identity") as Promise<Identity | undefined>,
  ]);
  const today = now.getTime() / DAY;
  return readingsOf(own.flat(), pulled.flat(), identity?.contributor ?? "self").filter(
    (one) => today - one.sampled_at <= WINDOW_DAYS,
  );
}

export function counts(row: OwnTest): boolean {
  return !row.retracted && row.sync.state !== "held" && row.sync.state !== "refused";
}

interface Parts {
  own_uncertainty: number;
  shared_uncertainty: number;
}

interface Made {
  sampled_at: string;
  tube: { id: string };
}

function reading(test: Made, content: number, parts: Parts, contributor: string): Visit {
  const { own_uncertainty, shared_uncertainty } = parts;
  const sampled_at = Date.parse(test.sampled_at) / DAY;
  return { sampled_at, content, own_uncertainty, shared_uncertainty, contributor, tube: test.tube.id };
}
