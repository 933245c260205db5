/** The order of the Sources list; the same three orders as GET /sources. */

import { bearing_deg, distance_km, type Point } from "../geo/position";
import type { FiguresRow } from "../rows/source";
import type { SourceFigures } from "../rows/source-figures";
import { LIGHT } from "../statistics/visits";

export type Order = "steadiest" | "floor" | "nearest";

export interface Ranked extends FiguresRow {
  distance_km: number | null;
  bearing_deg: number | null;
}

export interface Ranking {
  ranked: (Ranked & { figures: SourceFigures })[];
  /** Not tested yet: places to sample, nearest first. */
  unsampled: Ranked[];
}

/** Sorts the rows that pass the filters, as seen from a point. */
export function rank(
  rows: readonly FiguresRow[],
  order: Order,
  from: Point | null,
  wanted: (row: Ranked) => boolean = () => true,
): Ranking {
  const near = rows.map((row) => placed(row, from)).filter(wanted);
  const ranked = near.filter((row): row is Ranking["ranked"][number] => row.figures !== null);
  return {
    ranked: ranked.sort((a, b) => ORDERS[order](a, b) || b.figures.evidence - a.figures.evidence || byName(a, b)),
    unsampled: near.filter((row) => row.figures === null).sort((a, b) => byDistance(a, b) || byName(a, b)),
  };
}

type Compare = (a: Ranking["ranked"][number], b: Ranking["ranked"][number]) => number;

const ORDERS: Record<Order, Compare> = {
  steadiest: (a, b) => byStanding(a, b) || a.figures.tau_bound - b.figures.tau_bound,
  floor: (a, b) => byStanding(a, b) || b.figures.floor - a.figures.floor,
  nearest: (a, b) => byDistance(a, b),
};

/** Sources known only from strangers come after those with a test from somebody known for some weeks. */
function byStanding(a: Ranking["ranked"][number], b: Ranking["ranked"][number]): number {
  return Number(isUnknown(a.figures)) - Number(isUnknown(b.figures));
}

/** Rows of an earlier version do not say how much each contributor counts. */
export function isUnknown({ heaviest = 1 }: { heaviest?: number }): boolean {
  return heaviest < LIGHT;
}

function placed(row: FiguresRow, from: Point | null): Ranked {
  if (from === null || row.latitude === null || row.longitude === null) {
    return { ...row, distance_km: null, bearing_deg: null };
  }
  const point = { latitude: row.latitude, longitude: row.longitude };
  return { ...row, distance_km: distance_km(from, point), bearing_deg: bearing_deg(from, point) };
}

/** Unknown distances last. */
function byDistance(a: Ranked, b: Ranked): number {
  if (a.distance_km === null || b.distance_km === null) {
    return Number(a.distance_km === null) - Number(b.distance_km === null);
  }
  return a.distance_km - b.distance_km;
}

function byName(a: FiguresRow, b: FiguresRow): number {
  return a.name < b.name ? -1 : a.name > b.name ? 1 : 0;
}
