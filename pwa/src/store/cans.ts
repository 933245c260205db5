/** The can ledger and the tank: private to the phone, never sent. */

import { announce } from "./changes";
import { keep } from "./keep";
import { run, write } from "./open";
import type { CanRow, Tank } from "./schema";
import { readFact, writeFact } from "./settings";

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

/** What was added: the tank with it, and the cans it came from without it, all or nothing. */
export async function saveAdded(tank: Tank, cans: readonly CanRow[]): Promise<void> {
  await keep(["settings", "cans"], async (writing) => {
    await writing.objectStore("settings").put(tank, "tank");
    for (const can of cans) await writing.objectStore("cans").put(can);
  });
  announce("settings", "cans");
}

export async function dropCan(id: string): Promise<void> {
  await write(["cans"], (writing) => writing.objectStore("cans").delete(id));
  announce("cans");
}

export function loadTank(): Promise<Tank | undefined> {
  return readFact("tank");
}

export function saveTank(tank: Tank): Promise<void> {
  return writeFact("tank", tank);
}
