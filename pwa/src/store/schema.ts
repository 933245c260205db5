/** What the phone keeps: one row type per store, and the schema versions. Only src/store touches IndexedDB. */

import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import type { Problem, Retraction, Sampled, Source, Test, TestFigures } from "../records";
import type { Draft } from "./draft-row";
import type { FillRow } from "./fill-row";
import type { OutlineRow } from "./outline-row";
import type { PlanRow } from "./plan-row";
import type { SourceFigures } from "./source-figures";
import type { TubeRow } from "./tube-row";

export type { Corrected, Draft, DraftRun } from "./draft-row";
export type { SourceFigures } from "./source-figures";
export type { Tank, VehicleRow } from "./vehicle-row";

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

export interface Replaced {
  revision: number;
  at: string;
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
  /** Photos of the test that stay on this phone when it is sent. */
  unshared_photos?: readonly string[];
  retracted: boolean;
  kept_at: string;
  sync: SyncNote;
  /** The server's own recomputation, once it answered. */
  server_content: number | null;
  server_uncertainty: number | null;
  /** Who made the test, where it came in a file; absent: this phone. Only its author's phone sends it. */
  author?: string;
  /** When earlier revisions were replaced; not known of what an earlier version did. */
  replaced?: readonly Replaced[];
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
  /** The content that the tune of the vehicle in use asks for, %; null: not set. Kept with the vehicle. */
  own_minimum: number | null;
  /** Key in the specifications, null: none chosen. */
  specification: string | null;
  /** Origin of the server, "" for the one that served the app. */
  server: string;
  /** Whether new tests are shared; null: nobody has decided yet. */
  share: boolean | null;
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
  fills: { key: string; value: FillRow; indexes: { by_vehicle: string } };
  plans: { key: string; value: PlanRow };
  photos: { key: string; value: PhotoRow; indexes: { by_state: PhotoState } };
  outbox: { key: number; value: OutboxEntry; indexes: { by_record: [string, string]; by_parked: number } };
  outlines: { key: string; value: OutlineRow };
  settings: { key: string; value: unknown };
}

export type Place = StoreNames<Schema>;
export type Base = IDBPDatabase<Schema>;
export type Writing = IDBPTransaction<Schema, Place[], "readwrite">;
export type Reading = Pick<IDBPTransaction<Schema, ("own_tests" | "sources" | "merged")[]>, "objectStore">;
export type Looking = Pick<IDBPTransaction<Schema, Place[], "readonly">, "objectStore">;
export type Upgrading = IDBPTransaction<Schema, Place[], "versionchange">;
