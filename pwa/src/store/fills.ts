/** The vehicles' fill-ups: private to the phone, never sent. */

import type { CanRow } from "../rows/can";
import type { FillRow } from "../rows/fill";
import { NO_VEHICLES, type VehicleRow, type Vehicles, withoutVehicle, withVehicle } from "../rows/vehicle";
import { announce } from "./changes";
import { keep } from "./keep";
import { run, write } from "./open";
import type { Writing } from "./schema";

/** Oldest first. */
export function listFills(vehicle: string): Promise<FillRow[]> {
  return run(async (base) => {
    const rows = await base.getAllFromIndex("fills", "by_vehicle", vehicle);
    return rows.sort((a, b) => Date.parse(a.filled_at) - Date.parse(b.filled_at));
  });
}

/** Saves a fill-up, the vehicle's new tank, and the cans after pouring: all or nothing. */
export async function saveFill(fill: FillRow, vehicle: VehicleRow, cans: readonly CanRow[]): Promise<void> {
  await keep(["settings", "cans", "fills"], async (writing) => {
    await changeVehicles(writing, (old) => withVehicle(old, vehicle));
    for (const can of cans) await writing.objectStore("cans").put(can);
    await writing.objectStore("fills").put(fill);
  });
  announce("settings", "cans", "fills");
}

/** Undoes it: vehicle and cans get their earlier state. wasNew: the vehicle was added with it. */
export async function undoFill(
  fill: FillRow,
  before: VehicleRow,
  cans: readonly CanRow[],
  wasNew: boolean,
): Promise<void> {
  await write(["settings", "cans", "fills"], async (writing) => {
    await changeVehicles(writing, (old) => (wasNew ? withoutVehicle(old, before.id) : withVehicle(old, before)));
    for (const can of cans) await writing.objectStore("cans").put(can);
    await writing.objectStore("fills").delete(fill.id);
  });
  announce("settings", "cans", "fills");
}

/** Saves a fill-up with the sensor's reading, or restores a removed one. */
export async function putFill(fill: FillRow): Promise<void> {
  await keep(["fills"], (writing) => writing.objectStore("fills").put(fill));
  announce("fills");
}

export async function dropFill(id: string): Promise<void> {
  await write(["fills"], (writing) => writing.objectStore("fills").delete(id));
  announce("fills");
}

/** Removes a vehicle with its fill-ups, and returns these so that they can be restored. */
export async function dropVehicle(id: string): Promise<FillRow[]> {
  const gone = await write(["settings", "fills"], async (writing) => {
    await changeVehicles(writing, (old) => withoutVehicle(old, id));
    const fills = writing.objectStore("fills");
    const rows = await fills.index("by_vehicle").getAll(id);
    for (const row of rows) await fills.delete(row.id);
    return rows;
  });
  announce("settings", "fills");
  return gone;
}

/** Restores a removed vehicle with its fill-ups. wasInUse: it becomes the one in use again. */
export async function restoreVehicle(row: VehicleRow, fills: readonly FillRow[], wasInUse: boolean): Promise<void> {
  await write(["settings", "fills"], async (writing) => {
    await changeVehicles(writing, (old) => ({
      in_use: wasInUse ? row.id : (old.in_use ?? row.id),
      rows: [...old.rows, row],
    }));
    for (const fill of fills) await writing.objectStore("fills").put(fill);
  });
  announce("settings", "fills");
}

async function changeVehicles(writing: Writing, change: (old: Vehicles) => Vehicles): Promise<void> {
  const facts = writing.objectStore("settings");
  await facts.put(change(((await facts.get("vehicles")) as Vehicles | undefined) ?? NO_VEHICLES), "vehicles");
}
