/** The vehicles: private to the phone, never sent. */

import { announce } from "./changes";
import { keep } from "./keep";
import type { CanRow } from "./schema";
import { changeFact, readFact } from "./settings";
import { inUse, NO_VEHICLES, type VehicleRow, type Vehicles, withoutVehicle, withVehicle } from "./vehicle-row";

export async function loadVehicles(): Promise<Vehicles> {
  return (await readFact("vehicles")) ?? NO_VEHICLES;
}

/** A new one becomes the one in use. */
export function saveVehicle(row: VehicleRow): Promise<void> {
  return changeFact("vehicles", (old = NO_VEHICLES) => withVehicle(old, row));
}

export function putInUse(id: string): Promise<void> {
  return changeFact("vehicles", (old = NO_VEHICLES) => ({ ...old, in_use: id }));
}

export function dropVehicle(id: string): Promise<void> {
  return changeFact("vehicles", (old = NO_VEHICLES) => withoutVehicle(old, id));
}

/** A vehicle that was taken out comes back, and is in use again if it was. before: all of them as they were. */
export function restoreVehicle(row: VehicleRow, before: Vehicles): Promise<void> {
  return changeFact("vehicles", (old = NO_VEHICLES) => ({
    in_use: inUse(before)?.id === row.id ? row.id : (old.in_use ?? row.id),
    rows: [...old.rows, row],
  }));
}

/** What was added: the tank with it, and the cans it came from without it, all or nothing. */
export async function saveAdded(row: VehicleRow, cans: readonly CanRow[]): Promise<void> {
  await keep(["settings", "cans"], async (writing) => {
    const facts = writing.objectStore("settings");
    const old = ((await facts.get("vehicles")) as Vehicles | undefined) ?? NO_VEHICLES;
    await facts.put(withVehicle(old, row), "vehicles");
    for (const can of cans) await writing.objectStore("cans").put(can);
  });
  announce("settings", "cans");
}
