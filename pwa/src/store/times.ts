/**
 * Correcting the times of a saved test: it gets a new revision, and everything derived from its times follows.
 *
 * Only a person can do this: the app knows how far the clock is off, but not since when.
 */

import type { OwnTest, SyncNote } from "../rows/test";
import { announce } from "./changes";
import { markStale } from "./figure-rows";
import { keep } from "./keep";
import { staysHere } from "./outbox";
import { withRevision } from "./revision";
import type { Place, Writing } from "./schema";
import { SOURCE_PLACES, shareSource } from "./sources";
import { queueTest } from "./tests";

/** RFC 3339. */
export interface Times {
  sampled_at: string;
  tested_at: string;
}

const PLACES: Place[] = [...SOURCE_PLACES, "cans"];

/** The old revision stays on the phone; a can filled with this test's fuel counts its days from the new time. */
export async function correctTimes(id: string, { sampled_at, tested_at }: Times): Promise<void> {
  await keep(PLACES, async (writing) => {
    const old = await writing.objectStore("own_tests").get(id);
    if (old === undefined || old.retracted) return;
    if (old.test.sampled_at === sampled_at && old.test.tested_at === tested_at) return;
    const row: OwnTest = { ...withRevision(old, { ...old.test, sampled_at, tested_at }), clock_behind: null };
    await correctSource(writing, row);
    row.sync = await queueTest(writing, row);
    await writing.objectStore("own_tests").put(row);
    await correctCans(writing, row);
    await markStale(writing, row.source);
  });
  announce("own_tests", "outbox", "figures", "sources", "cans");
}

/** A source that the server has not accepted may have its time from the same clock, and would be refused. */
async function correctSource(writing: Writing, { source: id, test }: OwnTest): Promise<void> {
  const sources = writing.objectStore("sources");
  const source = await sources.get(id);
  if (!source?.own || source.sync === null || isTaken(source.sync)) return;
  if (Date.parse(source.recorded_at) <= Date.parse(test.tested_at)) return;
  const row = { ...source, recorded_at: test.tested_at };
  await sources.put(staysHere(source.sync) ? row : await shareSource(writing, row));
}

function isTaken({ state, revision }: SyncNote): boolean {
  return revision !== null && state !== "refused";
}

async function correctCans(writing: Writing, { id, test }: OwnTest): Promise<void> {
  const cans = writing.objectStore("cans");
  for (const can of await cans.getAll()) {
    if (can.test === id) await cans.put({ ...can, tested_at: test.sampled_at });
  }
}
