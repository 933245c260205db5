/** Which sources the list shows. */

import { freshChange } from "./level";
import type { Order, Ranked } from "./ranking";

export interface Filters {
  untested: boolean;
  changed: boolean;
  evidence: boolean;
  /** The floor reaches one's own minimum. */
  minimum: boolean;
  /** km from where the phone last was; null: however far. */
  within_km: number | null;
}

/** How the list was left, and is found again. */
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

/** Of three marks: from here on the evidence is fair. */
const FAIR = 2;

/** How many filters are set. */
export function filtersSet(filters: Filters): number {
  return Object.values(filters).filter((value) => value !== false && value !== null).length;
}

/**
 * True when a row has everything that is asked for. A distance that is not known is no hindrance.
 * minimum: the content one's own tune asks for, %; null: not set, and then it is not asked.
 */
export function passes(row: Ranked, filters: Filters, minimum: number | null, now: Date): boolean {
  const { figures } = row;
  if (filters.within_km !== null && (row.distance_km ?? 0) > filters.within_km) return false;
  if (filters.untested && figures !== null) return false;
  if (filters.changed && (figures === null || freshChange(figures, now) === null)) return false;
  if (filters.evidence && (figures === null || figures.evidence < FAIR)) return false;
  return !filters.minimum || minimum === null || (figures !== null && figures.floor >= minimum);
}
