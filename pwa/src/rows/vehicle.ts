/** The vehicles on this phone, each with the contents of its tank. Private: never sent. */

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
  /** "" for an unnamed one. */
  name: string;
  /** It has a sensor for the ethanol content. */
  sensor: boolean;
  /** The content its tune requires, %; null: not set. */
  minimum: number | null;
}

export interface Vehicles {
  in_use: string | null;
  rows: readonly VehicleRow[];
}

export const NO_VEHICLES: Vehicles = { in_use: null, rows: [] };

/** The entry time of a tank that has not been entered yet. */
const NEVER = new Date(0).toISOString();
/**
 * The id of the vehicle made from an earlier version's tank and minimum: the same on every phone, so that importing a
 * file does not add a second one.
 */
const FIRST = "00000000-0000-7000-8000-000000000000";

export function newVehicle(id: string): VehicleRow {
  const empty = { capacity: null, volume: null, content: null, expanded_uncertainty: null, changed_at: NEVER };
  return { id, name: "", sensor: true, minimum: null, ...empty };
}

/** The vehicle in use; undefined before there is any. */
export function inUse({ in_use, rows }: Vehicles): VehicleRow | undefined {
  return rows.find((row) => row.id === in_use) ?? rows[0];
}

/** The vehicles with one added or replaced; a new one becomes the one in use. */
export function withVehicle(vehicles: Vehicles, row: VehicleRow): Vehicles {
  const { in_use, rows } = vehicles;
  const isKnown = rows.some((one) => one.id === row.id);
  return isKnown
    ? { in_use, rows: rows.map((one) => (one.id === row.id ? row : one)) }
    : { in_use: row.id, rows: [...rows, row] };
}

/** The vehicles without one; if it was in use, the first of the others takes its place. */
export function withoutVehicle({ in_use, rows }: Vehicles, id: string): Vehicles {
  const left = rows.filter((row) => row.id !== id);
  return { in_use: in_use === id ? (left[0]?.id ?? null) : in_use, rows: left };
}

/** The vehicle made from the single tank and minimum of an earlier version; null if neither was entered. */
export function firstVehicle(tank: Tank | null, minimum: number | null): Vehicles | null {
  if (tank === null && minimum === null) return null;
  return withVehicle(NO_VEHICLES, { ...newVehicle(FIRST), ...tank, minimum });
}

/**
 * The vehicles with those of a file added, and how many it added. For one that is already here, a newer tank is taken;
 * name, sensor and minimum stay as they are here.
 */
export function withImported(here: Vehicles, imported: Vehicles): { vehicles: Vehicles; taken: number } {
  const rows = [...here.rows];
  let taken = 0;
  for (const row of imported.rows) {
    const at = rows.findIndex((one) => one.id === row.id);
    const old = rows[at];
    if (old && old.changed_at >= row.changed_at) continue;
    if (old) rows[at] = { ...row, name: old.name, sensor: old.sensor, minimum: old.minimum };
    else rows.push(row);
    taken += 1;
  }
  return { vehicles: { in_use: here.in_use ?? imported.in_use, rows }, taken };
}
