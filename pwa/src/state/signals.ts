/**
 * View state: everything that screens read and that is not in a store, or is shown before a store has been read.
 *
 * The only module with mutable state. A page has one screen, and a signal redraws what reads it; all other state is in
 * objects that main.tsx makes and passes in. `tests/house/memory.py` checks that.
 */

import { signal } from "@preact/signals";
import type { Point } from "../geo/position";
import type { Language } from "../i18n";
import type { ListChoice } from "../model/filters";
import type { Position, Settings } from "../rows/settings";
import { NO_VEHICLES, type Vehicles } from "../rows/vehicle";
import type { Exchange } from "../store/facts";
import { DEFAULTS } from "../store/settings";

/** Where the person is: the parts of the address. */
export const path = signal<string[]>([]);

/** The language that was chosen; null follows the phone. */
export const chosenLanguage = signal<Language | null>(null);

export const settings = signal<Settings>(DEFAULTS);
/** The vehicles, and which of them is in use. */
export const vehicles = signal<Vehicles>(NO_VEHICLES);
export const whereabouts = signal<Position | null>(null);

/** ms that this phone's clock was behind the server's at the last check; null before the first. */
export const clockBehind = signal<number | null>(null);

/** The state of the list of sources; null: the default, undefined before it is read from the disk. */
export const listChoice = signal<ListChoice | null | undefined>(undefined);

/** The starred sources; undefined before they are read from the disk. */
export const stars = signal<ReadonlySet<string> | undefined>(undefined);

export interface Server extends Exchange {
  /** The status has been read from the disk; before that nothing is known. */
  known: boolean;
  /** The server reported that its data are an invented demo. */
  demo: boolean;
  /** An exchange is in progress. */
  busy: boolean;
  /** Shared records that the server has not answered yet. */
  unsent: number;
  /** Records that the server refused and that wait for the person. */
  parked: number;
}

export const server = signal<Server>({
  known: false,
  demo: false,
  busy: false,
  unsent: 0,
  parked: 0,
  succeeded_at: null,
  tried_at: null,
  trouble: null,
});

/** What was just removed, and the function that restores it. */
export interface Undoable {
  /** What happened, as a sentence. */
  said: string;
  undo: () => void;
}

export const undoable = signal<Undoable | null>(null);

/** The last thing that failed without anybody waiting for it. */
export const fault = signal<string | null>(null);

/** A new version is on the phone and waiting. */
export const updateReady = signal(false);

/** Storage is nearly full. */
export const nearlyFull = signal(false);

/** The last view of each map, by its name: going back to it from a source restores it. */
export const mapsLeft = signal<Readonly<Record<string, MapLeft>>>({});

export interface MapLeft extends Point {
  zoom: number;
}
