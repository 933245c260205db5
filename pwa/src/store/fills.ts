/** The fill-ups of the vehicles: private to the phone, never sent. */

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

/** A fill-up, the vehicle with it in its tank, and the cans it came from without it: all or nothing. */
export async function saveFill(fill: FillRow, vehicle: VehicleRow, cans: readonly CanRow[]): Promise<void> {
  await keep(["settings", "cans", "fills"], async (writing) => {
    await changeVehicles(writing, (old) => withVehicle(old, vehicle));
    for (const can of cans) await writing.objectStore("cans").put(can);
    await writing.objectStore("fills").put(fill);
  });
  announce("settings", "cans", "fills");
}

/** As if it had not been: the vehicle and the cans as they were. wasNew: the vehicle came with it. */
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

/** A fill-up with the sensor's reading, or as it was before it was removed. */
export async function putFill(fill: FillRow): Promise<void> {
  await keep(["fills"], (writing) => writing.objectStore("fills").put(fill));
  announce("fills");
}

export async function dropFill(id: string): Promise<void> {
  await write(["fills"], (writing) => writing.objectStore("fills").delete(id));
  announce("fills");
}

/** Takes a vehicle out with its fill-ups, and gives these, to be brought back. */
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

/** A vehicle that was taken out comes back with its fill-ups. wasInUse: and is in use again. */
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
