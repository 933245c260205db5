/** Writes a person's entries: on the disk before it resolves, and freeing storage if there is none left. */

import { announce } from "./changes";
import { write } from "./open";
import type { Place, Writing } from "./schema";

/** Bytes freed at a time when storage is full. */
const STEP = 8 * 1024 * 1024;

/**
 * A write transaction that is on the disk when it resolves. If storage is full, photos that the server has are dropped
 * and it is tried once more; the outbox is never touched.
 */
export async function keep<T>(places: Place[], work: (writing: Writing) => Promise<T>): Promise<T> {
  try {
    return await write(places, work, true);
  } catch (fault) {
    if (!isFull(fault) || (await dropSentPhotos(STEP)) === 0) throw fault;
  }
  return write(places, work, true);
}

export function isFull(fault: unknown): boolean {
  return fault instanceof DOMException && fault.name === "QuotaExceededError";
}

/** Drops pictures that the server has, oldest first, until enough is freed. Returns the number of bytes. */
export async function dropSentPhotos(bytes: number): Promise<number> {
  let freed = 0;
  await write(["photos"], async (writing) => {
    const rows = await writing.objectStore("photos").index("by_state").getAll("sent");
    for (const row of rows.sort((a, b) => (a.made_at < b.made_at ? -1 : 1))) {
      if (freed >= bytes) return;
      freed += row.bytes.byteLength;
      await writing.objectStore("photos").delete(row.digest);
    }
  });
  if (freed > 0) announce("photos");
  return freed;
}

/** Asks the browser for persistent storage. Returns its answer, or null if it has no such request. */
export async function askToPersist(storage: StorageManager | undefined): Promise<boolean | null> {
  if (storage?.persist === undefined) return null;
  return (await storage.persisted()) || (await storage.persist());
}
