/** The list of fuel cans: private to the phone, never sent. */

import type { CanRow } from "../rows/can";
import { announce } from "./changes";
import { keep } from "./keep";
import { run, write } from "./open";

/** Oldest first; emptied ones last. */
export function listCans(): Promise<CanRow[]> {
  return run(async (base) => {
    const rows = await base.getAll("cans");
    const isEmpty = (one: CanRow) => Number(one.emptied_at !== null);
    return rows.sort((a, b) => isEmpty(a) - isEmpty(b) || Date.parse(a.filled_at) - Date.parse(b.filled_at));
  });
}

export async function saveCan(row: CanRow): Promise<void> {
  await keep(["cans"], (writing) => writing.objectStore("cans").put(row));
  announce("cans");
}

export async function dropCan(id: string): Promise<void> {
  await write(["cans"], (writing) => writing.objectStore("cans").delete(id));
  announce("cans");
}
