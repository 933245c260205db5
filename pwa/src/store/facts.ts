/** The values stored by name in the store `settings`. */

import type { ListChoice } from "../model/filters";
import type { Sight } from "../model/sight";
import type { Tiles } from "../records";
import type { Position, Settings } from "../rows/settings";
import type { Stars } from "../rows/star";
import type { Vehicles } from "../rows/vehicle";
import type { TubeOffset } from "../statistics/instrument_bias";
import type { Priors } from "../statistics/priors";

/** Only those that were ever changed; the minimum is saved with its vehicle. */
export type StoredSettings = Partial<Omit<Settings, "own_minimum">>;

/** Everything stored by name in the store `settings`. */
export interface Facts {
  settings: StoredSettings;
  identity: Identity;
  /** The pull cursor, the server it belongs to, and the regions it was limited to. */
  cursor: { server: string; cursor: string; regions?: readonly string[] };
  /** The state of the list of sources. */
  list: ListChoice;
  /** The phone's last known position. */
  position: Position;
  stars: Stars;
  vehicles: Vehicles;
  /** How far this phone's clock was behind a server's, ms, and when, by this phone. */
  clock: { behind: number; checked_at: string };
  /** Tests saved since the clock was last compared with a server's. */
  unchecked: readonly string[];
  /** The person's own records of which a pull brought the public version; the full ones still have to be requested. */
  owed: readonly string[];
  /** The person's own sources that the server has withdrawn, and the revision that did so. */
  taken_back: Readonly<Record<string, number>>;
  /** The outcome of the last exchange with the server. */
  exchange: Exchange;
  /** True once the server said that its data is an invented demo. */
  demo: boolean;
  persistence: "granted" | "denied";
  /** The explanation of the test was shown and closed. */
  method_seen: boolean;
  /** The proportions of the person's own tubes in a photo, by the tube's id. */
  sights: Readonly<Record<string, Sight>>;
  lessons: Learned;
  /** The offsets the server found for the person's own tubes, and when it was asked. */
  tubes: { server: string; asked_at: string; tubes: LearnedTube[] };
  /** How much contributors count, according to the server. */
  weights: Weights;
  /** Names of the regions with sources, by code, from the server. */
  regions: Record<string, string>;
  /** Where to get map tiles, from the server that the app came from. */
  tiles: Tiles | null;
  /** The version of the tube model behind this phone's tests, and what its last change did, until that was read. */
  model: { version: number; moved: Recomputation | null };
}

/** What was learned in each region, and from how many tests. */
export type Learned = Record<string, { lessons: Priors | Former; tests: number; learned_at?: string }>;

/** Priors of an earlier version, with a season of twelve months: until learned again, only the offsets apply. */
export type Former = Omit<Priors, "season">;

/** A tube's offset in a region, and when it was learned. */
export interface LearnedTube extends TubeOffset {
  tube: string;
  learned_at: string;
}

/** secret: 256 bit, 64 lower-case hex digits. contributor: this phone's public id, 16 hex digits. */
export interface Identity {
  secret: string;
  contributor: string;
}

export interface Exchange {
  /** The last successful exchange. */
  succeeded_at: string | null;
  tried_at: string | null;
  /** Code of the last attempt's failure, null if it succeeded. */
  trouble: string | null;
}

/** By region, then by contributor. */
export type Weights = Readonly<Record<string, Readonly<Record<string, number>>>>;

/** What recomputing would change, or has changed. */
export interface Recomputation {
  /** Tests made in the tube and not withdrawn. */
  made: number;
  /** Tests whose result changes. */
  changed: number;
  /** Those of them that are shared. */
  shared: number;
  /** Tests that cannot be computed with the tube as it is now: they stay unchanged. */
  impossible: number;
  /** The test whose content changes most; change: in points. */
  largest: { before: Figure; after: Figure; change: number } | null;
}

export interface Figure {
  content: number;
  expanded_uncertainty: number;
}
