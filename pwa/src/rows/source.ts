/** A source as this phone keeps it, and its line in the list. */

import type { Source } from "../records";
import type { SourceFigures } from "./source-figures";
import type { SyncNote } from "./test";

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
