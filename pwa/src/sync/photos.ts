/** Photos are sent after the readings and never delay them. */

import { settings } from "../state/signals";
import { identity } from "../store/identity";
import { markPhoto, PhotoDamaged, readPhoto, unsentPhotos } from "../store/photos";
import { Client, Trouble } from "./client";

const PATIENCE = 120_000;

/** Sends the photos of tests that the server has. Returns how many arrived. Throws Trouble if there is no answer. */
export async function sendPhotos(client: Client): Promise<number> {
  let sent = 0;
  for (const digest of await unsentPhotos()) {
    const refused = await sendOne(client, digest);
    await markPhoto(digest, refused === null ? "sent" : "refused", refused ?? "");
    if (refused === null) sent += 1;
  }
  return sent;
}

/** null if it arrived, else why it never will. */
async function sendOne(client: Client, digest: string): Promise<string | null> {
  try {
    const photo = await readPhoto(digest);
    if (photo === undefined) return "missing";
    const { secret } = await identity();
    await client.json({
      method: "PUT",
      path: `/api/v1/photos/${digest}`,
      body: photo,
      type: photo.type,
      secret,
      patience: PATIENCE,
    });
    return null;
  } catch (fault) {
    if (fault instanceof PhotoDamaged) return "damaged";
    if (fault instanceof Trouble && fault.code === "refused") return fault.message;
    throw fault;
  }
}

/** A copy of somebody's photo, at least this many pixels wide; null without an answer, or if it is gone. */
export async function fetchPhoto(digest: string, width: number): Promise<Blob | null> {
  try {
    return await new Client(settings.value.server).picture({ path: `/api/v1/photos/${digest}?width=${width}` });
  } catch (fault) {
    if (fault instanceof Trouble) return null;
    throw fault;
  }
}
