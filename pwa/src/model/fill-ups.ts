/** The expected content of a tank after a fill-up, and whether its sensor agrees. Uncertainties at 95 %, all in %. */

import { mix, type Plan } from "../chemistry/blend";
import { type Comparison, compare } from "../chemistry/sensor";
import type { CanRow } from "../rows/can";
import type { FilledPart, FillRow, InTank } from "../rows/fill";
import type { VehicleRow } from "../rows/vehicle";
import { partOf, type Stock, tankPart } from "./tank";

/** This many in a row beyond both uncertainties are not chance any more (common practice, no source). */
export const IN_A_ROW = 3;

/** What the tank should contain. give: the uncertainty of the volume before, L; null for exact. */
export function heldAfter(before: InTank, give: number | null, added: readonly FilledPart[]): InTank {
  const put = added.reduce((sum, part) => sum + part.volume, 0);
  const volume = before.volume === null ? null : Number((before.volume + put).toFixed(3));
  const here = tankPart({ ...before, capacity: null, changed_at: "" });
  const parts = added.map((one) => partOf(one.volume, one.content, one.expanded_uncertainty));
  const known = parts.filter((part) => part !== null);
  if (here === null || known.length < parts.length || !volume) {
    return { volume, content: null, expanded_uncertainty: null };
  }
  const inside = here.volume > 0 ? [{ ...here, volume_uncertainty: give ?? 0 }] : [];
  const { content, expanded_uncertainty } = mix([...inside, ...known]);
  return { volume, content, expanded_uncertainty };
}

/** The vehicle after a fill-up. */
export function vehicleAfter(vehicle: VehicleRow, fill: FillRow): VehicleRow {
  return { ...vehicle, ...fill.after, changed_at: fill.filled_at };
}

/** What a plan added, from each of its stocks. */
export function partsOf(plan: Plan, stocks: readonly Stock[], cans: readonly CanRow[]): FilledPart[] {
  return stocks.flatMap((stock, index) => {
    const volume = plan.additions[index] ?? 0;
    if (volume <= 0) return [];
    const can = cans.find((one) => one.id === stock.key);
    const source = stock.kind === "pump" ? stock.key : (can?.source ?? null);
    const from = stock.kind === "pump" ? "estimate" : can?.test ? "test" : "typed";
    const { content, expanded_uncertainty } = stock.part;
    return [
      { volume, content, expanded_uncertainty, source, name: stock.name, from, test: can?.test ?? null, water: null },
    ];
  });
}

/** The sensor compared with the expected content of the tank; null if one of them is unknown. */
export function comparisonOf({ after, sensed }: FillRow): Comparison | null {
  if (sensed === null || after.content === null || after.expanded_uncertainty === null) return null;
  return compare(after.content, after.expanded_uncertainty, sensed);
}

/**
 * A sensor that differed several times in a row in the same direction. sensor: at any station. station: only for fuel
 * from that station. either: all of it came from one station, so these cannot be told apart.
 */
export interface Drift {
  kind: "sensor" | "station" | "either";
  /** The station; "" for the sensor. */
  name: string;
  /** Oldest first. */
  found: readonly Comparison[];
}

interface Compared {
  comparison: Comparison;
  /** The one station it came from; null for several or for none known. */
  source: string | null;
  name: string;
}

/** Unusual patterns in the fill-ups of a vehicle, which come oldest first. */
export function driftsOf(fills: readonly FillRow[]): Drift[] {
  const all = fills.flatMap(comparedOf);
  const run = lastRun(all);
  const origins = new Set(run.map((one) => one.source));
  if (run.length >= IN_A_ROW && (origins.size > 1 || origins.has(null))) {
    return [{ kind: "sensor", name: "", found: run.map((one) => one.comparison) }];
  }
  const sources = [...new Set(all.map((one) => one.source))].filter((source) => source !== null);
  return sources.flatMap((source) => {
    const [its, others] = [all.filter((one) => one.source === source), all.filter((one) => one.source !== source)];
    const differing = lastRun(its);
    if (differing.length < IN_A_ROW) return [];
    const kind = others.at(-1)?.comparison.agree ? "station" : "either";
    return [{ kind, name: its.at(-1)?.name ?? "", found: differing.map((one) => one.comparison) }];
  });
}

function comparedOf(fill: FillRow): Compared[] {
  const comparison = comparisonOf(fill);
  const [only, ...more] = fill.added;
  if (comparison === null) return [];
  const source = more.length === 0 ? (only?.source ?? null) : null;
  return [{ comparison, source, name: only?.name ?? "" }];
}

/** The newest ones that all differ in the same direction. */
function lastRun(all: readonly Compared[]): Compared[] {
  const side = Math.sign(all.at(-1)?.comparison.difference ?? 0);
  const end = all.findLastIndex(({ comparison: one }) => one.agree || Math.sign(one.difference) !== side);
  return all.slice(end + 1);
}
