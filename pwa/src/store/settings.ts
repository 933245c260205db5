/** This phone's settings, and small values stored by name. Never sent. */

import { newId } from "../ids";
import type { Settings } from "../rows/settings";
import { inUse, NO_VEHICLES, newVehicle, type Vehicles, withVehicle } from "../rows/vehicle";
import { announce } from "./changes";
import type { Facts, Identity, StoredSettings } from "./facts";
import { run, write } from "./open";
import type { Writing } from "./schema";

export const DEFAULTS: Settings = {
  temperature_unit: "C",
  volume_unit: "L",
  distance_unit: "km",
  own_minimum: null,
  specification: null,
  server: "",
  share: null,
  look: "auto",
  settle_minutes: 10,
  fuel_water: 0.5,
  tube: null,
  regions: [],
  sampled: null,
};

/** This phone's public id, inside a transaction over settings; null before it was created. */
export async function selfIn(writing: Writing): Promise<string | null> {
  const identity = (await writing.objectStore("settings").get("identity")) as Identity | undefined;
  return identity?.contributor ?? null;
}

type Found<Name extends keyof Facts> = { [One in Name]: Facts[One] | undefined };

export async function readFact<Name extends keyof Facts>(name: Name): Promise<Facts[Name] | undefined> {
  return (await readFacts(name))[name];
}

/** Several of them, as they were at one moment. */
export function readFacts<Name extends keyof Facts>(...names: Name[]): Promise<Found<Name>> {
  return run(async (base) => {
    const { store } = base.transaction("settings");
    const found = await Promise.all(names.map(async (name) => [name, await store.get(name)] as const));
    return Object.fromEntries(found) as Found<Name>;
  });
}

export async function writeFact<Name extends keyof Facts>(name: Name, value: Facts[Name]): Promise<void> {
  await changeFact(name, () => value);
}

/** Changes a stored value from its current state, so that of two concurrent changes neither undoes the other. */
export async function changeFact<Name extends keyof Facts>(
  name: Name,
  change: (old: Facts[Name] | undefined) => Facts[Name],
): Promise<void> {
  await write(["settings"], async (writing) => {
    const store = writing.objectStore("settings");
    await store.put(change((await store.get(name)) as Facts[Name] | undefined), name);
  });
  announce("settings");
}

export async function loadSettings(): Promise<Settings> {
  return wholeSettings(await readFacts("settings", "vehicles"));
}

export function wholeSettings({ settings, vehicles = NO_VEHICLES }: Found<"settings" | "vehicles">): Settings {
  return { ...DEFAULTS, ...settings, own_minimum: inUse(vehicles)?.minimum ?? null };
}

/** Changes some settings and leaves the others; a function gets the current ones. */
export async function saveSettings(change: Partial<Settings> | ((old: Settings) => Partial<Settings>)): Promise<void> {
  await write(["settings"], async (writing) => {
    const facts = writing.objectStore("settings");
    const stored = (await facts.get("settings")) as StoredSettings | undefined;
    const vehicles = (await facts.get("vehicles")) as Vehicles | undefined;
    const changed = typeof change === "function" ? change(wholeSettings({ settings: stored, vehicles })) : change;
    const { own_minimum, ...settings } = changed;
    await facts.put({ ...stored, ...settings }, "settings");
    if (own_minimum !== undefined) await facts.put(withMinimum(vehicles, own_minimum), "vehicles");
  });
  announce("settings");
}

/** A minimum always belongs to a vehicle. */
function withMinimum(vehicles: Vehicles = NO_VEHICLES, minimum: number | null): Vehicles {
  return withVehicle(vehicles, { ...(inUse(vehicles) ?? newVehicle(newId())), minimum });
}
