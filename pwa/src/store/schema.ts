/** The phone's stores, each with the type of its rows. Only this folder uses IndexedDB. */

import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import type { CanRow } from "../rows/can";
import type { Draft } from "../rows/draft";
import type { FillRow } from "../rows/fill";
import type { OutlineRow } from "../rows/outline";
import type { PhotoRow, PhotoState } from "../rows/photo";
import type { PlanRow } from "../rows/plan";
import type { FiguresRow, MergedRow, SourceRow } from "../rows/source";
import type { OutboxEntry, OwnTest, PulledTest } from "../rows/test";
import type { TubeRow } from "../rows/tube";

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
