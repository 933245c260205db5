/** The vehicles of this phone, each with what is in its tank. Private: never sent. */

export interface Tank {
  /** L */
  capacity: number | null;
  volume: number | null;
  /** % (V/V), and its expanded uncertainty (95 %). */
  content: number | null;
  expanded_uncertainty: number | null;
  changed_at: string;
}

export interface VehicleRow extends Tank {
  id: string;
  /** "" for one that nobody has named. */
  name: string;
  /** It has a sensor for the ethanol content. */
  sensor: boolean;
  /** The content that its tune asks for, %; null: not set. */
  minimum: number | null;
}

export interface Vehicles {
  in_use: string | null;
  rows: readonly VehicleRow[];
}

export const NO_VEHICLES: Vehicles = { in_use: null, rows: [] };

/** When a tank was entered that nobody has entered yet. */
const NEVER = new Date(0).toISOString();
/** What an earlier version's one tank and minimum become: the same on every phone, so that no file makes a second one. */
const FIRST = "00000000-0000-7000-8000-000000000000";

export function newVehicle(id: string): VehicleRow {
  const empty = { capacity: null, volume: null, content: null, expanded_uncertainty: null, changed_at: NEVER };
  return { id, name: "", sensor: true, minimum: null, ...empty };
}

/** The vehicle in use; undefined before there is any. */
export function inUse({ in_use, rows }: Vehicles): VehicleRow | undefined {
  return rows.find((row) => row.id === in_use) ?? rows[0];
}

/** With a vehicle in its new state; one that is new becomes the one in use. */
export function withVehicle(vehicles: Vehicles, row: VehicleRow): Vehicles {
  const { in_use, rows } = vehicles;
  const isKnown = rows.some((one) => one.id === row.id);
  return isKnown
    ? { in_use, rows: rows.map((one) => (one.id === row.id ? row : one)) }
    : { in_use: row.id, rows: [...rows, row] };
}

/** Without a vehicle; of the others the first is in use, unless another one was. */
export function withoutVehicle({ in_use, rows }: Vehicles, id: string): Vehicles {
  const left = rows.filter((row) => row.id !== id);
  return { in_use: in_use === id ? (left[0]?.id ?? null) : in_use, rows: left };
}

/** The one tank and the one minimum of an earlier version; null where neither was entered. */
export function firstVehicle(tank: Tank | null, minimum: number | null): Vehicles | null {
  if (tank === null && minimum === null) return null;
  return withVehicle(NO_VEHICLES, { ...newVehicle(FIRST), ...tank, minimum });
}

/**
 * With those of a file, and how many of them it brought. Of one that is here a later tank is taken; its name, sensor and
 * minimum stay as they are here.
 */
export function withCarried(here: Vehicles, carried: Vehicles): { vehicles: Vehicles; taken: number } {
  const rows = [...here.rows];
  let taken = 0;
  for (const row of carried.rows) {
    const at = rows.findIndex((one) => one.id === row.id);
    const old = rows[at];
    if (old && old.changed_at >= row.changed_at) continue;
    if (old) rows[at] = { ...row, name: old.name, sensor: old.sensor, minimum: old.minimum };
    else rows.push(row);
    taken += 1;
  }
  return { vehicles: { in_use: here.in_use ?? carried.in_use, rows }, taken };
}
