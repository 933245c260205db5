/** What the phone keeps: one row type per store, and the schema versions. Only src/store touches IndexedDB. */

import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import type { PhotoMarks, Problem, Retraction, Sampled, Source, Test, TestFigures } from "../records";
import type { PlanRow } from "./plan-row";
import type { TubeRow } from "./tube-row";

export type { TubeRow };

/**
 * Where a record stands between this phone and the server.
 * private: not shared. imported: from a file, stays here until it is shared. needs_position: its source has no position yet. waiting: in the outbox. sent: the server keeps
 * it. held: kept there but not counted, for the reasons in `problems`. refused: not taken; can be tried again.
 */
export type SyncState = "private" | "imported" | "needs_position" | "waiting" | "sent" | "held" | "refused";

export interface SyncNote {
  state: SyncState;
  problems: Problem[];
  /** The newest revision the server answered for, null before the first answer. */
  revision: number | null;
  answered_at: string | null;
}

/** A kept test as this phone holds it: consent is given when it is sent. */
export type SealedTest = Omit<Test, "consent">;

export interface OwnTest {
  id: string;
  source: string;
  tested_at: string;
  /** The newest revision. */
  test: SealedTest;
  /** Earlier revisions, oldest first. */
  earlier: SealedTest[];
  /** Standard uncertainty of the newest revision, %: the part of this test alone, and the part its tube shares. */
  own_uncertainty: number;
  shared_uncertainty: number;
  shared: boolean;
  retracted: boolean;
  kept_at: string;
  sync: SyncNote;
  /** The server's own recomputation, once it answered. */
  server_content: number | null;
  server_uncertainty: number | null;
  /** Who made the test, where it came in a file; absent: this phone. Only its author's phone sends it. */
  author?: string;
  /** ms that this phone's clock was behind the server's when the times were written; only where that is too much. */
  clock_behind?: number | null;
}

/** A test of somebody else (or of one's own on another phone), from a pull. */
export interface PulledTest {
  id: string;
  source: string;
  contributor: string;
  region: string;
  received_at: string;
  revision: number;
  test: Test;
  figures: TestFigures | null;
  flags: string[];
}

/** A source: one's own may still lack a position. */
export interface SourceRow extends Omit<Source, "kind" | "latitude" | "longitude"> {
  latitude: number | null;
  longitude: number | null;
  own: boolean;
  /** ISO 3166-2, as the server found it; null before it answered. */
  region: string | null;
  contributor: string | null;
  /** The record that was sent last; null for somebody else's source. */
  sync: SyncNote | null;
  /** Taken back here, and the server has not answered yet. */
  retracting?: boolean;
}

/** The answer to "what will I get next time?", in %, as `figures` of GET /sources. */
export interface SourceFigures {
  typical: number;
  typical_interval: readonly [number, number];
  tau: number;
  tau_interval: readonly [number, number];
  /** Upper 80 % bound of tau: the key of the order "steadiest". */
  tau_bound: number;
  next_fill: readonly [number, number];
  floor: number;
  /** For probability_at_least in statistics/steadiness. */
  next_fill_quantiles: readonly number[];
  tests: number;
  visits: number;
  contributors: number;
  last_sampled_at: string;
  evidence: number;
  changes: { at: string; direction: string }[];
  /** The first visit that tells of the present level; rows computed by an earlier version lack it. */
  level_since?: string;
  /** Standard, %: what the season leaves open of the present level; rows computed by an earlier version lack it. */
  season_uncertainty?: number;
  /** Visits taken for gross errors; how many contributors are established, how much counts who counts most. */
  wrong?: readonly { at: string; contributor: string }[];
  established?: number;
  heaviest?: number;
}

/** A source that was found to be another one's place, and the source that stands for it. */
export interface MergedRow {
  source: string;
  into: string;
}

/** One line of the Sources list: everything the list shows, so that it opens from this store alone. */
export interface FiguresRow {
  source: string;
  name: string;
  pump: string;
  latitude: number | null;
  longitude: number | null;
  region: string | null;
  own: boolean;
  /** null: never tested. */
  figures: SourceFigures | null;
  computed_at: string;
  /** 1 while the figures wait to be computed again. */
  stale: 0 | 1;
  /** How often it was marked to wait; rows of an earlier version lack it. */
  mark?: number;
}

export interface DraftRun {
  water: number | null;
  fuel: number | null;
  /** Closed, turned over, vented. */
  shaken: boolean;
  /** End of settling, wall clock, ms since 1970; right after any sleep. */
  settle_until: number | null;
  /** When it was turned over, and when its line was first entered, ms since 1970; a sheet of before has neither. */
  shaken_at?: number | null;
  read_at?: number | null;
  /** °C in the tube, measured when it was read. */
  temperature?: number | null;
  /** Another tube than the sheet's. */
  tube?: string | null;
  line: number | null;
  percent: number | null;
  top: number | null;
  /** How far the line may lie from the reading, mL, where a photo shows it. */
  line_half_width: number | null;
  marks: PhotoMarks | null;
  /** Digest of this run's photo; the test's photos are those of its runs. */
  photo: string | null;
}

/** The run sheet while it fills; saved at every entry. */
export interface Draft {
  /** Id of the test it becomes: keeping it twice cannot make two tests. */
  id: string;
  started_at: string;
  source: string | null;
  sampled: Sampled | null;
  sampled_at: string | null;
  tube: string | null;
  /** °C of everything, on a sheet of before the liquids had temperatures of their own; null on every other. */
  temperature: number | null;
  temperature_measured: boolean;
  /** °C when filled; fuel: null where it is not known. */
  water_temperature?: number | null;
  water_temperature_measured?: boolean;
  fuel_temperature?: number | null;
  fuel_temperature_measured?: boolean;
  /** % (V/V) */
  fuel_water: number;
  settle_minutes: number;
  runs: DraftRun[];
  note: string;
  photos: string[];
  shared: boolean;
  cautions_read: boolean;
}

export interface CanRow {
  id: string;
  name: string;
  /** L */
  capacity: number | null;
  volume: number;
  content: number | null;
  expanded_uncertainty: number | null;
  source: string | null;
  test: string | null;
  /** When the sample of that test was taken: the time to the next test counts from here. */
  tested_at: string | null;
  filled_at: string;
  opened_humid_at: string | null;
  retest_days: number;
  emptied_at: string | null;
}

export interface Tank {
  /** L */
  capacity: number | null;
  volume: number | null;
  content: number | null;
  expanded_uncertainty: number | null;
  changed_at: string;
}

/** private: stays here. waiting: to be sent after its test. sent, refused: what the server said. */
export type PhotoState = "private" | "waiting" | "sent" | "refused";

export interface PhotoRow {
  digest: string;
  type: string;
  bytes: ArrayBuffer;
  width: number;
  height: number;
  made_at: string;
  state: PhotoState;
  problem: string;
}

export interface OutboxEntry {
  /** Order of the queue, given by the store. */
  sequence?: number;
  kind: "source" | "test";
  id: string;
  revision: number;
  source: string;
  record: Source | Test | Retraction;
  /** 1: refused and parked until the person tries again. */
  parked: 0 | 1;
  /** Set just before each sending: from then on the server may know the record. */
  tried_at: string | null;
}

export interface Settings {
  temperature_unit: "C" | "F";
  volume_unit: "L" | "gal";
  distance_unit: "km" | "mi";
  /** The content one's own tune asks for, %; null: not set. */
  own_minimum: number | null;
  /** Key in the specifications, null: none chosen. */
  specification: string | null;
  /** Origin of the server, "" for the one that served the app. */
  server: string;
  share: boolean;
  look: "auto" | "light" | "dark" | "sunlight";
  settle_minutes: number;
  /** Default water in the fuel, %. */
  fuel_water: number;
  tube: string | null;
  /** Codes of the regions whose sources and tests are fetched; none: all of them. */
  regions: readonly string[];
  /** What was sampled last, offered for the next sheet. */
  sampled: Sampled | null;
}

export interface Position {
  latitude: number;
  longitude: number;
  /** m, as the phone says; null when typed. */
  accuracy: number | null;
  at: string;
}

export interface Schema extends DBSchema {
  own_tests: {
    key: string;
    value: OwnTest;
    indexes: { by_source: string; by_photo: string; by_tube: string; by_kept: string; by_time: [string, string] };
  };
  pulled_tests: {
    key: string;
    value: PulledTest;
    indexes: { by_source: string; by_region: string; by_time: [string, string] };
  };
  sources: { key: string; value: SourceRow };
  merged: { key: string; value: MergedRow; indexes: { by_into: string } };
  figures: { key: string; value: FiguresRow; indexes: { by_stale: number } };
  drafts: { key: string; value: Draft };
  tubes: { key: string; value: TubeRow };
  cans: { key: string; value: CanRow };
  plans: { key: string; value: PlanRow };
  photos: { key: string; value: PhotoRow; indexes: { by_state: PhotoState } };
  outbox: { key: number; value: OutboxEntry; indexes: { by_record: [string, string]; by_parked: number } };
  settings: { key: string; value: unknown };
}

export type Place = StoreNames<Schema>;
export type Base = IDBPDatabase<Schema>;
export type Writing = IDBPTransaction<Schema, Place[], "readwrite">;
export type Reading = Pick<IDBPTransaction<Schema, ("own_tests" | "sources" | "merged")[]>, "objectStore">;
export type Looking = Pick<IDBPTransaction<Schema, Place[], "readonly">, "objectStore">;
export type Upgrading = IDBPTransaction<Schema, Place[], "versionchange">;
