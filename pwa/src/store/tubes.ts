/** The tubes one owns. */

import { announce } from "./changes";
import { keep } from "./keep";
import { run } from "./open";
import type { TubeRow } from "./schema";

/** In the order they were made; put-away ones last. */
export function listTubes(): Promise<TubeRow[]> {
  return run(async (base) => {
    const rows = await base.getAll("tubes");
    return rows.sort((a, b) => Number(a.put_away) - Number(b.put_away));
  });
}

export function readTube(id: string): Promise<TubeRow | undefined> {
  return run((base) => base.get("tubes", id));
}

export async function saveTube(row: TubeRow): Promise<void> {
  await keep(["tubes"], (writing) => writing.objectStore("tubes").put(row));
  announce("tubes");
}
