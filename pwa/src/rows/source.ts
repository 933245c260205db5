/** A source as stored on this phone, and its row in the list. */

import type { Source } from "../records";
import type { SourceFigures } from "./source-figures";
import type { SyncNote } from "./test";

/** A source; the person's own may still have no position. */
export interface SourceRow extends Omit<Source, "kind" | "latitude" | "longitude"> {
  latitude: number | null;
  longitude: number | null;
  own: boolean;
  /** ISO 3166-2, as found by the server; null before it answered. */
  region: string | null;
  contributor: string | null;
  /** The record sent last; null for somebody else's source. */
  sync: SyncNote | null;
  /** Withdrawn here, and the server has not answered yet. */
  retracting?: boolean;
}

/** A source found to be a duplicate of another place, and the source that represents both. */
export interface MergedRow {
  source: string;
  into: string;
}

/** One row of the Sources list with everything the list shows, so that it opens from this store alone. */
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
  /** 1 while the figures are waiting to be recomputed. */
  stale: 0 | 1;
  /** How often it was marked stale; rows of an earlier version lack it. */
  mark?: number;
}
