/** What is kept under a name in the store `settings`. */

import type { ListChoice } from "../model/filters";
import type { Sight } from "../model/sight";
import type { Tiles } from "../records";
import type { Position, Settings } from "../rows/settings";
import type { Stars } from "../rows/star";
import type { Vehicles } from "../rows/vehicle";
import type { Lessons } from "../statistics/lessons";
import type { TubeOffset } from "../statistics/offsets";

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

/** By region, then by contributor. */
export type Weights = Readonly<Record<string, Readonly<Record<string, number>>>>;

/** What computing again would change, or has changed. */
export interface Recomputation {
  /** Tests that were made in the tube and not taken back. */
  made: number;
  /** Those whose figures change. */
  changed: number;
  /** Those of them that others see. */
  shared: number;
  /** Those that cannot be computed with the tube as it is now: they stay as they are. */
  impossible: number;
  /** Of the test whose content changes most; change: in points. */
  largest: { before: Figure; after: Figure; change: number } | null;
}

export interface Figure {
  content: number;
  expanded_uncertainty: number;
}
