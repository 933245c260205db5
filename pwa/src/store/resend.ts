/** A server restored from a backup lacks the records since: everything that was sent is queued again. */

import type { OwnTest, SyncNote } from "../rows/test";
import { announce } from "./changes";
import type { Facts } from "./facts";
import { write } from "./open";
import { enqueue } from "./outbox";
import type { Writing } from "./schema";
import { SOURCE_PLACES, shareSource } from "./sources";
import { queueRetraction, queueTest } from "./tests";

/** Queues every record that the server has answered, including withdrawals. It recognises those it still has. */
export async function queueResend(): Promise<void> {
  await write(SOURCE_PLACES, async (writing) => {
    const sources = writing.objectStore("sources");
    for (const row of await sources.getAll()) {
      if (row.own && row.sync !== null && isAnswered(row.sync)) await sources.put(await shareSource(writing, row));
    }
    const taken = ((await writing.objectStore("settings").get("taken_back")) ?? {}) as Facts["taken_back"];
    for (const [id, revision] of Object.entries(taken)) {
      const record = { kind: "source", id, revision, retracted: true } as const;
      await enqueue(writing, { kind: "source", id, revision, source: id, record });
    }
    const tests = writing.objectStore("own_tests");
    for (const row of await tests.index("by_kept").getAll()) {
      if (row.sync.revision === null || !isAnswered(row.sync)) continue;
      const sync = row.retracted ? await queueRetraction(writing, row) : await queueTest(writing, row);
      await tests.put({ ...row, sync });
      if (!row.retracted) await queuePhotos(writing, row);
    }
  });
  announce("own_tests", "sources", "outbox", "photos");
}

function isAnswered({ state }: SyncNote): boolean {
  return state === "sent" || state === "held";
}

/** Photos follow their test, as they did the first time. */
async function queuePhotos(writing: Writing, row: OwnTest): Promise<void> {
  const photos = writing.objectStore("photos");
  for (const digest of row.test.photos) {
    const photo = await photos.get(digest);
    if (photo?.state === "sent") await photos.put({ ...photo, state: "private" });
  }
}
