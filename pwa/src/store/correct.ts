/**
 * Correcting a saved test: entries are corrected on a separate sheet and saved as a new revision together with its
 * outbox entry, in one transaction. The old revision stays on the phone.
 */

import type { OwnTest } from "../rows/test";
import { announce } from "./changes";
import { correctionKey } from "./drafts";
import { markStale } from "./figure-rows";
import { keep } from "./keep";
import { run } from "./open";
import { dropUnused, unqueuePhotos } from "./photos";
import { withRevision } from "./revision";
import type { Place, Writing } from "./schema";
import { SOURCE_PLACES } from "./sources";
import { isOfThisPhone, type NewTest, queueTest } from "./tests";

const PLACES: Place[] = [...SOURCE_PLACES, "drafts", "cans"];

/** The test was withdrawn, is somebody else's, or is not on this phone. */
export class NotCorrectable extends Error {
  override name = "NotCorrectable";
}

/** Whether there is an unsaved sheet with corrections of this test. */
export async function isBeingCorrected(id: string): Promise<boolean> {
  return run(async (base) => (await base.getKey("drafts", correctionKey(id))) !== undefined);
}

/** Saves the corrected test. A shared test stays shared: to end that, withdraw it. */
export async function correctTest(
  { test, shared, unshared_photos = [], ...parts }: NewTest,
  now: Date,
): Promise<OwnTest> {
  const corrected = await keep(PLACES, async (writing) => {
    const old = await writing.objectStore("own_tests").get(test.id);
    if (old === undefined || old.retracted || !(await isOfThisPhone(writing, old))) throw new NotCorrectable(test.id);
    const isSameTime = old.test.sampled_at === test.sampled_at && old.test.tested_at === test.tested_at;
    const row: OwnTest = {
      ...withRevision(old, test, now),
      ...parts,
      shared: old.shared || shared,
      unshared_photos,
      clock_behind: isSameTime ? (old.clock_behind ?? null) : null,
      // The server's content belongs to the previous revision.
      server_content: null,
      server_uncertainty: null,
    };
    row.sync = await queueTest(writing, row);
    await writing.objectStore("own_tests").put(row);
    await writing.objectStore("drafts").delete(correctionKey(row.id));
    await unqueuePhotos(writing, unshared_photos);
    for (const digest of old.test.photos) await dropUnused(writing, digest);
    await correctCans(writing, old, row);
    for (const source of new Set([old.source, row.source])) await markStale(writing, source);
    return row;
  });
  announce("own_tests", "outbox", "figures", "sources", "drafts", "cans", "photos");
  return corrected;
}

/** A can whose content comes from this test gets the corrected one, unless it was changed since. */
async function correctCans(writing: Writing, old: OwnTest, { test }: OwnTest): Promise<void> {
  const cans = writing.objectStore("cans");
  for (const can of await cans.getAll()) {
    if (can.test !== old.id) continue;
    const { content, expanded_uncertainty } = can.content === old.test.content ? test : can;
    await cans.put({ ...can, content, expanded_uncertainty, tested_at: test.sampled_at });
  }
}
