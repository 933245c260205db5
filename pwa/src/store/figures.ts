/**
 * Computes the figures in the Sources list when a source's tests change, so that the list opens at once.
 *
 * Saving and pulling mark rows stale in their own transaction. They are computed afterwards, a few at a time, so nobody
 * waits for figures, and a phone that dies in between continues where it stopped.
 */

import type { Compute } from "../compute";
import type { Counted } from "../compute/tasks";
import type { SourceFigures } from "../rows/source-figures";
import { announce, onChange } from "./changes";
import { FIGURES_PLACES, placeOf, rowOf } from "./figure-rows";
import { learn } from "./learn-priors";
import { run, StorageReplaced, write } from "./open";
import { priorsAt } from "./priors";
import { readingsAt } from "./readings";
import type { Looking, Writing } from "./schema";
import { markOf } from "./stale";
import { weighed } from "./weights";

/** ms of reading before the screen gets a turn; the computation itself runs in a worker. */
const SLICE = 12;
/** ms between two announcements during a long computation. */
const ANNOUNCE_EVERY = 1000;
/** ms after something was marked: the screen that says "saved" comes first. */
const SOON = 300;

/** Computes all stale rows, and those of a region whose priors have changed. Returns how many. */
export async function refreshFigures(now: Date, compute: Compute): Promise<number> {
  const done = await computeStale(now, compute);
  return (await learn(now, compute)) ? done + (await computeStale(now, compute)) : done;
}

/** Computes stale rows, also those left by an earlier page, soon after each change. Returns a function to stop. */
export function startFigures(clock: () => Date, compute: Compute): () => void {
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
      await computeStale(clock(), compute);
    } catch (fault) {
      // The rows stay stale: the next change or the next start computes them.
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

/** Yields to the screen in between. */
async function computeStale(now: Date, compute: Compute): Promise<number> {
  const stale = await run((base) => base.getAllKeysFromIndex("figures", "by_stale", 1));
  let done = 0;
  let announced = performance.now();
  while (done < stale.length) {
    done += await computeSome(stale.slice(done), now, compute);
    if (performance.now() - announced > ANNOUNCE_EVERY || done === stale.length) {
      announce("figures");
      announced = performance.now();
    }
    await new Promise((resolve) => setTimeout(resolve));
  }
  return done;
}

/** Computes at least one row, as many as are read before the screen gets a turn. Returns how many. */
async function computeSome(sources: string[], now: Date, compute: Compute): Promise<number> {
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
  const until = performance.now() + SLICE;
  const read: Read[] = [];
  let looked = 0;
  for (const source of sources) {
    const row = await reading.objectStore("figures").get(source);
    looked += 1;
    // Another tab may have computed it meanwhile.
    if (!row?.stale) continue;
    const settings = reading.objectStore("settings");
    const priors = await priorsAt(settings, row.region);
    const readings = await weighed(settings, row.region, await readingsAt(reading, source, now));
    read.push({ source, mark: markOf(row), readings, priors });
    if (performance.now() >= until) break;
  }
  return { looked, read };
}

/** Writes the result, unless the row was marked again meanwhile: then it will be computed again. */
async function settle(writing: Writing, source: string, mark: number, found: SourceFigures | null, now: Date) {
  const place = await placeOf(writing, source);
  const row = await writing.objectStore("figures").get(source);
  if (place === undefined || row === undefined || markOf(row) !== mark) return;
  await writing.objectStore("figures").put(rowOf(place, found, mark, now));
}
