/** When a can is to be tested again. */

import type { CanRow } from "../../store/schema";

const DAY = 86_400_000;

export type Due = { state: "later"; on: Date } | { state: "due" } | { state: "humid" };

/** True for a sample that was taken after the can was filled and after the test it has its content from. */
export function isNewer(sampledAt: string, can: CanRow): boolean {
  const sampled = Date.parse(sampledAt);
  return sampled > Date.parse(can.filled_at) && (can.tested_at === null || sampled > Date.parse(can.tested_at));
}

/** A can is due its days after it was filled or tested, or at once when it was opened in humid weather since. */
export function dueOf(can: CanRow, now: Date): Due {
  if (can.opened_humid_at !== null) return { state: "humid" };
  const from = Math.max(Date.parse(can.filled_at), can.tested_at === null ? 0 : Date.parse(can.tested_at));
  const on = new Date(from + can.retest_days * DAY);
  return on.getTime() <= now.getTime() ? { state: "due" } : { state: "later", on };
}
