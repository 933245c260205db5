import type { MultiPolygon } from "../records";

/** A region's outline for the map. */
export interface OutlineRow {
  /** ISO 3166-2. */
  code: string;
  name: string;
  /** Version tag of the server's outlines when this one was fetched. */
  tag: string;
  /** null: the server knows the region but has no outline for it. */
  geometry: MultiPolygon | null;
}
