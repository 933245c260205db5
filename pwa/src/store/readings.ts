/** The readings at a source that count, the person's own and other people's, in the form the statistics take. */

import type { OwnTest, PulledTest } from "../rows/test";
import type { Visit } from "../statistics/visits";
import type { Identity } from "./facts";
import { mergedInto } from "./merges";
import type { Looking } from "./schema";

export const DAY = 86_400_000;
/** Older readings say nothing about the next fill. */
const WINDOW_DAYS = 730;
/** Tests read at a time. */
const MOST = 300;
/** The contributor of this phone's tests while it has no identity yet. */
export const NAMELESS = "self";

/**
 * The person's own readings unless withdrawn or held, and other people's, only from the pump: cans age, and a tank
 * holds more than one fill. An own test that also came with a pull counts once.
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

/** The local day of a timestamp as written: what others see of it, and what figures use. */
export function dateOf(time: string): string {
  return time.slice(0, 10);
}

/** Noon of that day, days since 1970. */
export function noonOf(time: string): number {
  return Date.parse(`${dateOf(time)}T12:00:00Z`) / DAY;
}

/** The readings of the last two years at one source and those merged into it. */
export async function readingsAt(reading: Looking, source: string, now: Date): Promise<Visit[]> {
  const ids = await mergedInto(reading.objectStore("merged"), source);
  const today = now.getTime() / DAY;
  const from = new Date((today - WINDOW_DAYS) * DAY);
  const own = reading.objectStore("own_tests").index("by_time");
  const pulled = reading.objectStore("pulled_tests").index("by_time");
  const [mine, theirs, identity] = await Promise.all([
    Promise.all(ids.map((id) => sampledSince(own, id, from))),
    Promise.all(ids.map((id) => sampledSince(pulled, id, from))),
    reading.objectStore("settings").get("identity") as Promise<Identity | undefined>,
  ]);
  return readingsOf(mine.flat(), theirs.flat(), identity?.contributor ?? NAMELESS).filter(
    (one) => today - one.sampled_at <= WINDOW_DAYS,
  );
}

interface ByTime<Row> {
  getAll(range: IDBKeyRange, count: number): Promise<Row[]>;
}

/**
 * The tests of a source since a moment, a few hundred at a time, so that the screen stays responsive. Times are stored
 * as written, each with its local offset, so one more day is read than requested.
 */
export async function sampledSince<Row extends Sampling>(
  index: ByTime<Row>,
  source: string,
  from: Date,
  most = MOST,
): Promise<Row[]> {
  const found = new Map<string, Row>();
  let low = new Date(from.getTime() - DAY).toISOString();
  for (let count = most; ; ) {
    // In IndexedDB's key order an array is greater than any string.
    const rows = await index.getAll(IDBKeyRange.bound([source, low], [source, []]), count);
    for (const row of rows) found.set(row.id, row);
    if (rows.length < count) return [...found.values()];
    const last = (rows.at(-1) as Row).test.sampled_at;
    // If a step returns only tests of one moment, the next step must be larger.
    if (last === low) count *= 2;
    else {
      low = last;
      count = most;
    }
  }
}

interface Sampling {
  id: string;
  test: { sampled_at: string };
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
  const sampled_at = noonOf(test.sampled_at);
  return { sampled_at, content, own_uncertainty, shared_uncertainty, contributor, tube: test.tube.id };
}
