/** Settings of this phone, and small facts kept under a name. Never sent. */

import type { ListChoice } from "../filters";
import { newId } from "../ids";
import type { Tiles } from "../records";
import type { Sight } from "../sight";
import type { Lessons } from "../statistics/lessons";
import type { TubeOffset } from "../statistics/offsets";
import { announce } from "./changes";
import { run, write } from "./open";
import type { Recomputation } from "./recompute";
import type { Position, Settings, Writing } from "./schema";
import type { Stars } from "./star-row";
import { inUse, NO_VEHICLES, newVehicle, type Vehicles, withVehicle } from "./vehicle-row";
import type { Weights } from "./weights";

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

/** Those that were ever changed; the minimum is kept with its vehicle. */
export type StoredSettings = Partial<Omit<Settings, "own_minimum">>;

/** Everything that lives under a name in the store `settings`. */
export interface Facts {
  settings: StoredSettings;
  identity: Identity;
  /** The pull cursor, the server it belongs to, and the regions it was limited to. */
  cursor: { server: string; cursor: string; regions?: readonly string[] };
  /** How the list of sources was left. */
  list: ListChoice;
  /** Where the phone last knew to be. */
  position: Position;
  stars: Stars;
  vehicles: Vehicles;
  /** How far this phone's clock was behind a server's, ms, and when that was, by this phone. */
  clock: { behind: number; checked_at: string };
  /** Tests that were kept since the clock was compared with a server's. */
  unchecked: readonly string[];
  /** Records of one's own of which a pull brought what everyone sees; the whole is still to be asked for. */
  owed: readonly string[];
  /** Sources of one's own that the server has taken back, and the revision that did it. */
  taken_back: Readonly<Record<string, number>>;
  /** How the last exchange with the server went. */
  exchange: Exchange;
  /** True once the server said that its data are an invented demo. */
  demo: boolean;
  persistence: "granted" | "denied";
  /** How the test works was shown, and left. */
  method_seen: boolean;
  /** How one's own tubes look in a photo, by the tube's id. */
  sights: Readonly<Record<string, Sight>>;
  lessons: Learned;
  /** How the server finds one's own tubes to read, and when it was asked. */
  tubes: { server: string; asked_at: string; tubes: LearnedTube[] };
  /** How much contributors count, as the server says. */
  weights: Weights;
  /** Names of regions by their code: those that have sources, as the server gave them. */
  regions: Record<string, string>;
  /** Where the server that the app came from lets it ask for map pictures. */
  tiles: Tiles | null;
  /** The model of the tube that this phone's tests are computed with, and what it changed, until that was read. */
  model: { version: number; moved: Recomputation | null };
}

/** What was learned by region, and from how many tests. */
export type Learned = Record<string, { lessons: Lessons | Former; tests: number; learned_at?: string }>;

/** Lessons of an earlier version, whose season had twelve months: learned anew, only its offsets stand until then. */
export type Former = Omit<Lessons, "season">;

/** A tube's offset in a region, and when it was learned. */
export interface LearnedTube extends TubeOffset {
  tube: string;
  learned_at: string;
}

/** secret: 256 bit, 64 lower-case hex digits. contributor: what the server calls this phone, 16 hex digits. */
export interface Identity {
  secret: string;
  contributor: string;
}

export interface Exchange {
  /** Last time everything went through. */
  succeeded_at: string | null;
  tried_at: string | null;
  /** Code of the trouble of the last attempt, null when it went through. */
  trouble: string | null;
}

/** Who this phone is to the server, inside a transaction over settings; null before anybody asked. */
export async function selfIn(writing: Writing): Promise<string | null> {
  const identity = (await writing.objectStore("settings").get("identity")) as Identity | undefined;
  return identity?.contributor ?? null;
}

export function readFact<Name extends keyof Facts>(name: Name): Promise<Facts[Name] | undefined> {
  return run(async (base) => (await base.get("settings", name)) as Facts[Name] | undefined);
}

export async function writeFact<Name extends keyof Facts>(name: Name, value: Facts[Name]): Promise<void> {
  await changeFact(name, () => value);
}

/** Changes what is kept under a name, as it is by then: of two changes at once none undoes the other. */
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
  const [stored, vehicles] = await Promise.all([readFact("settings"), readFact("vehicles")]);
  return wholeSettings(stored, vehicles);
}

function wholeSettings(stored: StoredSettings | undefined, vehicles: Vehicles = NO_VEHICLES): Settings {
  return { ...DEFAULTS, ...stored, own_minimum: inUse(vehicles)?.minimum ?? null };
}

/** Changes some settings and leaves the others; a function is given them as they are by then. */
export async function saveSettings(change: Partial<Settings> | ((old: Settings) => Partial<Settings>)): Promise<void> {
  await write(["settings"], async (writing) => {
    const facts = writing.objectStore("settings");
    const stored = (await facts.get("settings")) as StoredSettings | undefined;
    const vehicles = (await facts.get("vehicles")) as Vehicles | undefined;
    const changed = typeof change === "function" ? change(wholeSettings(stored, vehicles)) : change;
    const { own_minimum, ...settings } = changed;
    await facts.put({ ...stored, ...settings }, "settings");
    if (own_minimum !== undefined) await facts.put(withMinimum(vehicles, own_minimum), "vehicles");
  });
  announce("settings");
}

/** Whoever has a minimum has a vehicle. */
function withMinimum(vehicles: Vehicles = NO_VEHICLES, minimum: number | null): Vehicles {
  return withVehicle(vehicles, { ...(inUse(vehicles) ?? newVehicle(newId())), minimum });
}
