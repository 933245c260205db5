/**
 * What the Sources list shows of each source, computed when its tests change, so that the list opens at once.
 *
 * Keeping and pulling mark rows stale in their own transaction, and they are computed afterwards, a few at a time; so
 * nobody waits for figures, and a phone that dies in between goes on where it stopped.
 */

import { compute } from "../computing";
import type { Counted } from "../computing/tasks";
import { announce, onChange } from "./changes";
import { learn, lessonsAt } from "./lessons";
import { standsFor } from "./merges";
import { run, StorageReplaced, write } from "./open";
import { readingsAt } from "./readings";
import type { FiguresRow, Looking, Place, SourceFigures, SourceRow, Writing } from "./schema";
import { marked, markOf } from "./stale";
import { weighed } from "./weights";

/** ms of reading between two breaths for the screen; what is read is computed elsewhere. */
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

/** The row of a source that was just added: it has no figures yet. */
export async function addFigures(writing: Writing, place: SourceRow, now: Date): Promise<void> {
  await writing.objectStore("figures").put(rowOf(place, null, 0, now));
}

/** Marks that row for computing. Cheap, for transactions that touch many sources. */
export async function markStale(writing: Writing, source: string): Promise<void> {
  const place = await placeOf(writing, source);
  if (place === undefined) return;
  const figures = writing.objectStore("figures");
  const old = await figures.get(place.id);
  await figures.put({ ...(old ?? rowOf(place, null, 0, new Date(0))), ...shownOf(place), ...marked(old) });
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

/** Computes some rows, as many as are read in one go; at least one. Gives how many. */
async function computeSome(sources: string[], now: Date): Promise<number> {
  const { looked, read } = await run((base) => readSome(base.transaction(FIGURES_PLACES), sources, now));
  const found = await compute("figures", read, now.getTime());
  if (read.length > 0) {
    await write(FIGURES_PLACES, async (writing) => {
      for (const [at, { source, mark }] of read.entries()) await settle(writing, source, mark, found[at] ?? null, now);
    });
  }
  return looked;
}

interface Read extends Counted {
  source: string;
  mark: number;
}

async function readSome(reading: Looking, sources: string[], now: Date): Promise<{ looked: number; read: Read[] }> {
  const until = performance.now() + BREATH;
  const read: Read[] = [];
  let looked = 0;
  for (const source of sources) {
    const row = await reading.objectStore("figures").get(source);
    looked += 1;
    // Another tab may have computed it meanwhile.
    if (!row?.stale) continue;
    const settings = reading.objectStore("settings");
    const lessons = await lessonsAt(settings, row.region);
    const readings = await weighed(settings, row.region, await readingsAt(reading, source, now));
    read.push({ source, mark: markOf(row), readings, lessons });
    if (performance.now() >= until) break;
  }
  return { looked, read };
}

/** Writes what was computed, unless the row was marked again meanwhile: then it waits for its turn once more. */
async function settle(writing: Writing, source: string, mark: number, found: SourceFigures | null, now: Date) {
  const place = await placeOf(writing, source);
  const row = await writing.objectStore("figures").get(source);
  if (place === undefined || row === undefined || markOf(row) !== mark) return;
  await writing.objectStore("figures").put(rowOf(place, found, mark, now));
}

/** The source whose row tells of this one. What is gone, or merged, has no row of its own. */
async function placeOf(writing: Writing, source: string): Promise<SourceRow | undefined> {
  const shown = await standsFor(writing.objectStore("merged"), source);
  const place = await writing.objectStore("sources").get(shown);
  if (shown !== source || place === undefined) await writing.objectStore("figures").delete(source);
  return place;
}

function rowOf(place: SourceRow, figures: SourceFigures | null, mark: number, now: Date): FiguresRow {
  return { ...shownOf(place), figures, computed_at: now.toISOString(), stale: 0, mark };
}

function shownOf(place: SourceRow) {
  const { id: source, name, pump, latitude, longitude, region, own } = place;
  return { source, name, pump, latitude, longitude, region, own };
}
