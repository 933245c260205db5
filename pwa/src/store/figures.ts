/**
 * What the Sources list shows of each source, computed when its tests change, so that the list opens at once.
 *
 * Keeping and pulling mark rows stale in their own transaction, and they are computed afterwards, a few at a time; so
 * nobody waits for figures, and a phone that dies in between goes on where it stopped.
 */

import { figures_of, type Lessons, NOTHING } from "../statistics/lessons";
import { type Visit, visits_of } from "../statistics/visits";
import { announce, onChange } from "./changes";
import { learn, lessonsAt } from "./lessons";
import { standsFor } from "./merges";
import { run, StorageReplaced, write } from "./open";
import { DAY, readingsAt } from "./readings";
import type { FiguresRow, Place, SourceFigures, SourceRow, Writing } from "./schema";

/** ms of computing between two breaths for the screen. */
const BREATH = 12;
/** ms between two announcements during a long computation. */
const TELL = 1000;
/** ms after something was marked: the screen that says "kept" comes first. */
const SOON = 300;

/** Everything a transaction needs to open when it computes figures. */
export const FIGURES_PLACES: Place[] = ["own_tests", "pulled_tests", "sources", "merged", "figures", "settings"];

/** The list as it was read last; two thousand rows take a slow phone longer to read than to show. */
let listed: Promise<FiguresRow[]> | null = null;
onChange((places) => {
  if (places.includes("figures")) listed = null;
});

/** The whole list, in one read for all who ask until it changes; its rows are not to be written to. */
export function listFigures(): Promise<FiguresRow[]> {
  if (listed !== null) return listed;
  const asked = run((base) => base.getAll("figures"));
  listed = asked;
  asked.catch(() => {
    if (listed === asked) listed = null;
  });
  return asked;
}

export function readFigures(source: string): Promise<FiguresRow | undefined> {
  return run((base) => base.get("figures", source));
}

/** Computes again the row of a source, or of the one that stands for it, in a transaction over FIGURES_PLACES. */
export async function computeFigures(writing: Writing, source: string, now: Date): Promise<void> {
  const place = await placeOf(writing, source);
  if (place === undefined) return;
  const lessons = await lessonsAt(writing.objectStore("settings"), place.region);
  await writing.objectStore("figures").put(rowOf(place, await readingsAt(writing, place.id, now), lessons, now));
}

/** Marks that row for computing. Cheap, for transactions that touch many sources. */
export async function markStale(writing: Writing, source: string): Promise<void> {
  const place = await placeOf(writing, source);
  if (place === undefined) return;
  const figures = writing.objectStore("figures");
  const old = await figures.get(place.id);
  await figures.put({ ...(old ?? rowOf(place, [], NOTHING, new Date(0))), ...shownOf(place), stale: 1 });
}

/** Computes all stale rows, and again those of a region that has taught something new. Gives how many. */
export async function refreshFigures(now: Date): Promise<number> {
  const done = await computeStale(now);
  return (await learn(now)) ? done + (await computeStale(now)) : done;
}

/** Computes what is marked, and what an earlier page left marked, soon after each change. Gives the way to stop. */
export function startFigures(clock: () => Date): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let working = false;
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(() => void look(), SOON);
  };
  const look = async () => {
    if (working) return soon();
    working = true;
    try {
      await computeStale(clock());
    } catch (fault) {
      // The rows stay marked: the next change or the next start takes them up.
      if (!(fault instanceof StorageReplaced)) console.error(fault);
    } finally {
      working = false;
    }
  };
  soon();
  const stop = onChange((places) => {
    if (places.includes("figures")) soon();
  });
  return () => {
    clearTimeout(timer);
    stop();
  };
}

/** Breathes in between. */
async function computeStale(now: Date): Promise<number> {
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
      // Another tab may have computed it meanwhile.
      if ((await writing.objectStore("figures").get(source))?.stale) await computeFigures(writing, source, now);
      done += 1;
      if (performance.now() >= until) break;
    }
    return done;
  });
}

/** The source whose row tells of this one. What is gone, or merged, has no row of its own. */
async function placeOf(writing: Writing, source: string): Promise<SourceRow | undefined> {
  const shown = await standsFor(writing.objectStore("merged"), source);
  const place = await writing.objectStore("sources").get(shown);
  if (shown !== source || place === undefined) await writing.objectStore("figures").delete(source);
  return place;
}

function rowOf(place: SourceRow, readings: Visit[], lessons: Lessons, now: Date): FiguresRow {
  return { ...shownOf(place), figures: figuresOf(readings, lessons, now), computed_at: now.toISOString(), stale: 0 };
}

function shownOf(place: SourceRow) {
  const { id: source, name, pump, latitude, longitude, region, own } = place;
  return { source, name, pump, latitude, longitude, region, own };
}

function figuresOf(readings: Visit[], lessons: Lessons, now: Date): SourceFigures | null {
  const visits = visits_of(readings);
  const found = figures_of(visits, lessons, now.getTime() / DAY);
  if (found === null) return null;
  const { last_sampled_at, ...rest } = found.estimate;
  const changes = found.changes.map(({ at, direction }) => ({ at: moment(at), direction }));
  // The estimate takes the newest visits: those since the level last changed.
  const level_since = moment((visits.at(-rest.visits) as Visit).sampled_at);
  return { ...rest, tests: readings.length, last_sampled_at: moment(last_sampled_at), changes, level_since };
}

function moment(day: number): string {
  return new Date(day * DAY).toISOString();
}
