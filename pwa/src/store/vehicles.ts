/** The vehicles: private to the phone, never sent. */

import { NO_VEHICLES, type VehicleRow, type Vehicles, withVehicle } from "../rows/vehicle";
import { changeFact, readFact } from "./settings";

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
