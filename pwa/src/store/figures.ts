/**
 * What the Sources list shows of each source, computed when its tests change, so that the list opens at once.
 *
 * A pull marks rows stale in its own transaction and `refreshFigures` computes them afterwards, a few at a time; so a
 * phone that dies in between goes on where it stopped.
 */

import { estimate } from "../statistics/steadiness";
import { type Visit, visits_of } from "../statistics/visits";
import { announce } from "./changes";
import { run, write } from "./open";
import type { FiguresRow, OwnTest, Place, PulledTest, SourceFigures, SourceRow, Writing } from "./schema";
import type { Identity } from "./settings";

const DAY = 86_400_000;
/** Older readings say nothing of the next fill. */
const WINDOW_DAYS = 730;
/** ms of computing between two breaths for the screen. */
const BREATH = 12;
/** ms between two announcements during a long computation. */
const TELL = 1000;

/** Everything a transaction needs to open when it computes figures. */
export const FIGURES_PLACES: Place[] = ["own_tests", "pulled_tests", "sources", "figures", "settings"];

/** The whole list, in one read. */
export function listFigures(): Promise<FiguresRow[]> {
  return run((base) => base.getAll("figures"));
}

export function readFigures(source: string): Promise<FiguresRow | undefined> {
  return run((base) => base.get("figures", source));
}

/** Computes one source's row again inside a transaction over FIGURES_PLACES. */
export async function computeFigures(writing: Writing, source: string, now: Date): Promise<void> {
  const figures = writing.objectStore("figures");
  const place = await writing.objectStore("sources").get(source);
  if (place === undefined) {
    await figures.delete(source);
    return;
  }
  const [own, pulled, identity] = await Promise.all([
    writing.objectStore("own_tests").index("by_source").getAll(source),
    writing.objectStore("pulled_tests").index("by_source").getAll(source),
    writing.objectStore("settings").get("identity") as Promise<Identity | undefined>,
  ]);
  await figures.put(rowOf(place, readingsOf(own, pulled, identity?.contributor ?? "self"), now));
}

/** Marks a source's row for computing. Cheap, for transactions that touch many sources. */
export async function markStale(writing: Writing, place: SourceRow): Promise<void> {
  const figures = writing.objectStore("figures");
  const old = await figures.get(place.id);
  await figures.put({ ...(old ?? rowOf(place, [], new Date(0))), ...shownOf(place), stale: 1 });
}

/** Computes all stale rows, breathing in between. Gives how many. */
export async function refreshFigures(now: Date): Promise<number> {
  const stale = await run((base) => base.getAllKeysFromIndex("figures", "by_stale", 1));
  let done = 0;
  let told = performance.now();
  while (done < stale.length) {
    done += await computeSome(stale.slice(done), now);
    if (performance.now() - told > TELL || done === stale.length) {
      announce("figures");
      told = performance.now();
    }
    await new Promise((resolve) => setTimeout(resolve));
  }
  return done;
}

/** Computes rows until it is time to breathe, in one transaction; at least one. Gives how many. */
function computeSome(sources: string[], now: Date): Promise<number> {
  return write(FIGURES_PLACES, async (writing) => {
    const until = performance.now() + BREATH;
    let done = 0;
    for (const source of sources) {
      await computeFigures(writing, source, now);
      done += 1;
      if (performance.now() >= until) break;
    }
    return done;
  });
}

/**
 * The readings that count: one's own unless taken back, held or from a tank (which holds more than one fill), and those
 * of others. A test of one's own that came back with a pull counts once.
 */
export function readingsOf(own: OwnTest[], pulled: PulledTest[], contributor: string): Visit[] {
  const mine = new Set(own.map((row) => row.id));
  const readings = own
    .filter((row) => counts(row) && row.test.sampled !== "tank")
    .map((row) => reading(row.test.sampled_at, row.test.content, row, contributor));
  for (const row of pulled) {
    if (mine.has(row.id) || row.figures === null || row.test.sampled === "tank") continue;
    readings.push(reading(row.test.sampled_at, row.figures.content, row.figures, row.contributor));
  }
  return readings;
}

export function counts(row: OwnTest): boolean {
  return !row.retracted && row.sync.state !== "held" && row.sync.state !== "refused";
}

interface Parts {
  own_uncertainty: number;
  shared_uncertainty: number;
}

function reading(at: string, content: number, parts: Parts, contributor: string): Visit {
  const { own_uncertainty, shared_uncertainty } = parts;
  return { sampled_at: Date.parse(at) / DAY, content, own_uncertainty, shared_uncertainty, contributor };
}

function rowOf(place: SourceRow, readings: Visit[], now: Date): FiguresRow {
  return { ...shownOf(place), figures: figuresOf(readings, now), computed_at: now.toISOString(), stale: 0 };
}

function shownOf(place: SourceRow) {
  const { id: source, name, pump, latitude, longitude, region, own } = place;
  return { source, name, pump, latitude, longitude, region, own };
}

function figuresOf(readings: Visit[], now: Date): SourceFigures | null {
  const today = now.getTime() / DAY;
  const recent = readings.filter((one) => today - one.sampled_at <= WINDOW_DAYS);
  const found = estimate(visits_of(recent), today);
  if (found === null) return null;
  const { last_sampled_at, ...rest } = found;
  return { ...rest, tests: recent.length, last_sampled_at: new Date(last_sampled_at * DAY).toISOString(), changes: [] };
}
