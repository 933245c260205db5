/** Which sources the list shows. */

import { distanceTo, type Point } from "../geo/position";
import type { FiguresRow } from "../rows/source";
import { freshChange } from "./level";
import type { Order } from "./ranking";

export interface Filters {
  untested: boolean;
  changed: boolean;
  evidence: boolean;
  /** The source's floor reaches the driver's minimum. */
  minimum: boolean;
  /** km from the phone's last position; null: any distance. */
  within_km: number | null;
}

/** The state of the list, restored at the next visit. */
export interface ListChoice {
  order: Order;
  filters: Filters;
}

export const NO_FILTERS: Filters = {
  untested: false,
  changed: false,
  evidence: false,
  minimum: false,
  within_km: null,
};

/** Of three marks: evidence is fair from here on. */
const FAIR = 2;

/** How many filters are set. */
export function filtersSet(filters: Filters): number {
  return Object.values(filters).filter((value) => value !== false && value !== null).length;
}

/** Who looks at the list, and when. minimum: the content the driver's tune requires, %; null: this filter is off. */
export interface Looking {
  here: Point | null;
  minimum: number | null;
  now: Date;
}

/** True if a row passes all filters. An unknown distance passes. */
export function passes(row: FiguresRow, filters: Filters, { here, minimum, now }: Looking): boolean {
  const { figures } = row;
  if (filters.within_km !== null && (distanceTo(here, row) ?? 0) > filters.within_km) return false;
  if (filters.untested && figures !== null) return false;
  if (filters.changed && (figures === null || freshChange(figures, now) === null)) return false;
  if (filters.evidence && (figures === null || figures.evidence < FAIR)) return false;
  return !filters.minimum || minimum === null || (figures !== null && figures.floor >= minimum);
}
