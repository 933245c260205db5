/**
 * Photos as bytes, type and digest. A Blob is made again on reading, and the digest checked: Safari has lost and
 * swapped Blobs kept in IndexedDB.
 */

import { sha256, toHex } from "../ids";
import { announce } from "./changes";
import { run, write } from "./open";
import type { PhotoRow, PhotoState } from "./schema";

export class PhotoDamaged extends Error {
  override name = "PhotoDamaged";
  constructor(readonly digest: string) {
    super(`photo ${digest} is not what was kept`);
  }
}

/** What picture.ts makes of a camera's file. */
export interface Picture {
  bytes: ArrayBuffer;
  type: string;
  width: number;
  height: number;
}

/** Keeps the picture and gives the digest it is known by. Keeping the same picture again changes nothing. */
export async function keepPhoto(picture: Picture, now: Date): Promise<string> {
  const digest = toHex(await sha256(picture.bytes));
  await write(
    ["photos"],
    async (writing) => {
      const store = writing.objectStore("photos");
      if ((await store.getKey(digest)) !== undefined) return;
      await store.put({ ...picture, digest, made_at: now.toISOString(), state: "private", problem: "" });
    },
    true,
  );
  announce("photos");
  return digest;
}

/** The picture to show or send; undefined when it is not on this phone. Throws PhotoDamaged. */
export async function readPhoto(digest: string): Promise<Blob | undefined> {
  const row = await run((base) => base.get("photos", digest));
  if (row === undefined) return undefined;
  await verify(row);
  return new Blob([row.bytes], { type: row.type });
}

export async function verify(row: PhotoRow): Promise<void> {
  if (toHex(await sha256(row.bytes)) !== row.digest) throw new PhotoDamaged(row.digest);
}

/** Digests still to be sent. */
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

/** Takes a picture off the phone, as long as it was not sent as part of a test. */
export async function dropPhoto(digest: string): Promise<void> {
  await write(["photos"], async (writing) => {
    const row = await writing.objectStore("photos").get(digest);
    if (row?.state === "private") await writing.objectStore("photos").delete(digest);
  });
  announce("photos");
}

/** Makes room: pictures that the server has go first, oldest first. Gives the number of bytes freed. */
export async function dropSentPhotos(bytesWanted: number): Promise<number> {
  let freed = 0;
  await write(["photos"], async (writing) => {
    const rows = await writing.objectStore("photos").index("by_state").getAll("sent");
    for (const row of rows.sort((a, b) => a.made_at.localeCompare(b.made_at))) {
      if (freed >= bytesWanted) return;
      freed += row.bytes.byteLength;
      await writing.objectStore("photos").delete(row.digest);
    }
  });
  if (freed > 0) announce("photos");
  return freed;
}
