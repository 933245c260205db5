/** The tank as the blend functions see it: volumes in L, contents and their expanded uncertainty in %. */

import type { Part, Plan } from "../../chemistry/blend";
import type { CanRow, FiguresRow, Tank } from "../../store/schema";

/** From the half-width of a 90 % to that of a 95 % interval, for a normal distribution. */
const NINETY_TO_NINETY_FIVE = 1.96 / 1.645;

export interface Stock {
  key: string;
  name: string;
  kind: "can" | "pump";
  part: Part;
}

/** What is in the tank; null while volume or content is not known. */
export function tankPart(tank: Tank | undefined): Part | null {
  if (!tank || tank.volume === null) return null;
  if (tank.volume === 0) return { volume: 0, content: 0, expanded_uncertainty: 0, volume_uncertainty: 0 };
  if (tank.content === null || tank.expanded_uncertainty === null) return null;
  const { volume, content, expanded_uncertainty } = tank;
  return { volume, content, expanded_uncertainty, volume_uncertainty: 0 };
}

/** L that still fit; null while the tank's size is not known. */
export function roomOf(tank: Tank | undefined): number | null {
  if (!tank || tank.capacity === null || tank.volume === null) return null;
  return Math.max(0, tank.capacity - tank.volume);
}

/** A can with a known content. */
export function canStock(can: CanRow): Stock | null {
  const { volume, content, expanded_uncertainty } = can;
  if (can.emptied_at !== null || volume <= 0 || content === null || expanded_uncertainty === null) return null;
  return {
    key: can.id,
    name: can.name,
    kind: "can",
    part: { volume, content, expanded_uncertainty, volume_uncertainty: 0 },
  };
}

/** A pump: as much as one likes of what the next fill may hold. */
export function pumpStock(row: FiguresRow): Stock | null {
  if (row.figures === null) return null;
  const { typical, next_fill } = row.figures;
  const half = Math.max(next_fill[1] - typical, typical - next_fill[0]);
  return {
    key: row.source,
    name: [row.name, row.pump].filter(Boolean).join(", "),
    kind: "pump",
    part: {
      volume: Number.POSITIVE_INFINITY,
      content: typical,
      expanded_uncertainty: half * NINETY_TO_NINETY_FIVE,
      volume_uncertainty: 0,
    },
  };
}

/** The tank once a plan was carried out. */
export function tankAfter(tank: Tank, plan: Plan, now: Date): Tank {
  const { volume, content, expanded_uncertainty } = plan.blend;
  return { ...tank, volume, content, expanded_uncertainty, changed_at: now.toISOString() };
}

/** A can once some was taken out, L; an empty one leaves the ledger's front page. */
export function canAfter(can: CanRow, taken: number, now: Date): CanRow {
  const left = Number(Math.max(0, can.volume - taken).toFixed(3));
  return { ...can, volume: left, emptied_at: left === 0 ? now.toISOString() : can.emptied_at };
}
