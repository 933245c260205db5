import type { MultiPolygon } from "../records";

/** A region as the map draws it. */
export interface OutlineRow {
  /** ISO 3166-2. */
  code: string;
  name: string;
  /** Of the server's outlines when this one came. */
  tag: string;
  /** null: the server knows the region and has no outline of it. */
  geometry: MultiPolygon | null;
}
