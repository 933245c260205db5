/**
 * Photos as bytes, type and digest. A Blob is created on reading and its digest checked: Safari has lost and swapped
 * Blobs stored in IndexedDB.
 */

import { sha256, toHex } from "../ids";
import type { PhotoRow, PhotoState } from "../rows/photo";
import { announce } from "./changes";
import { keep } from "./keep";
import { run, write } from "./open";
import type { Writing } from "./schema";

export class PhotoDamaged extends Error {
  override name = "PhotoDamaged";
  constructor(readonly digest: string) {
    super(`photo ${digest} is not what was kept`);
  }
}

/** The result of picture.ts for a camera's file. */
export interface Picture {
  bytes: ArrayBuffer;
  type: string;
  width: number;
  height: number;
}

/** Saves the picture and returns its digest. Saving the same picture again changes nothing. */
export async function savePhoto(picture: Picture, now: Date): Promise<string> {
  const digest = toHex(await sha256(picture.bytes));
  await keep(["photos"], async (writing) => {
    const store = writing.objectStore("photos");
    if ((await store.getKey(digest)) !== undefined) return;
    await store.put({ ...picture, digest, made_at: now.toISOString(), state: "private", problem: "" });
  });
  announce("photos");
  return digest;
}

/** The picture to show or send; undefined if it is not on this phone. Throws PhotoDamaged. */
export async function readPhoto(digest: string): Promise<Blob | undefined> {
  const row = await run((base) => base.get("photos", digest));
  if (row === undefined) return undefined;
  await verify(row);
  return new Blob([row.bytes], { type: row.type });
}

export async function verify(row: PhotoRow): Promise<void> {
  if (toHex(await sha256(row.bytes)) !== row.digest) throw new PhotoDamaged(row.digest);
}

/** Digests of the photos still to be sent. */
export function unsentPhotos(): Promise<string[]> {
  return run((base) => base.getAllKeysFromIndex("photos", "by_state", "waiting"));
}

export async function markPhoto(digest: string, state: PhotoState, problem = ""): Promise<void> {
  await write(["photos"], async (writing) => {
    const store = writing.objectStore("photos");
    const row = await store.get(digest);
    if (row !== undefined) await store.put({ ...row, state, problem });
  });
  announce("photos");
}

/** Deletes pictures, unless a saved test uses them; returns the deleted rows so that they can be restored. */
export async function dropPhotos(digests: readonly string[]): Promise<PhotoRow[]> {
  const gone = await write(["photos", "own_tests"], async (writing) => {
    const photos = writing.objectStore("photos");
    const rows = await Promise.all(digests.map((digest) => photos.get(digest)));
    for (const digest of digests) await dropUnused(writing, digest);
    return rows.filter((row) => row !== undefined);
  });
  announce("photos");
  return gone;
}

export async function putPhotosBack(rows: readonly PhotoRow[]): Promise<void> {
  await keep(["photos"], async (writing) => {
    for (const row of rows) await writing.objectStore("photos").put(row);
  });
  announce("photos");
}

/** The same inside a transaction over photos and own_tests. */
export async function dropUnused(writing: Writing, digest: string): Promise<void> {
  const used = await writing.objectStore("own_tests").index("by_photo").count(digest);
  if (used === 0) await writing.objectStore("photos").delete(digest);
}

/** Stops sending these: their test was withdrawn, or they were removed from it. */
export async function unqueuePhotos(writing: Writing, digests: readonly string[]): Promise<void> {
  const photos = writing.objectStore("photos");
  for (const digest of digests) {
    const photo = await photos.get(digest);
    if (photo?.state === "waiting") await photos.put({ ...photo, state: "private" });
  }
}
