/** When to test a can again. */

import { dayOf } from "../../model/plan";
import type { CanRow } from "../../rows/can";
import type { SourceTest } from "../../store/sources";

const DAY = 86_400_000;

export type Due = { state: "later"; on: Date } | { state: "due" } | { state: "humid" };

/** True for a sample taken after the can was filled and after the test that its content comes from. */
export function isNewer(sampledAt: string, can: CanRow): boolean {
  const sampled = Date.parse(sampledAt);
  return sampled > Date.parse(can.filled_at) && (can.tested_at === null || sampled > Date.parse(can.tested_at));
}

/** A can's content and the test behind it; without one it was typed. */
export type Holding = Pick<CanRow, "content" | "expanded_uncertainty" | "test" | "tested_at">;

export function isTyped(can: Holding): boolean {
  return can.content !== null && can.test === null;
}

/**
 * Whether a test at the can's source can be a test of this can: an own test from a can since it was filled that belongs
 * to no other can, or one from the pump on the day of filling.
 */
export function isOfCan(test: SourceTest, filledAt: string, others: readonly CanRow[]): boolean {
  if (!test.own) return false;
  const [sampled, filled] = [test.sampled_at, filledAt].map((at) => dayOf(new Date(at))) as [string, string];
  if (test.sampled === "pump") return sampled === filled;
  return test.sampled === "can" && sampled >= filled && !others.some((can) => can.test === test.id);
}

/** A can is due a number of days after it was filled or tested, or at once if it was opened in humid weather since. */
export function dueOf(can: CanRow, now: Date): Due {
  if (can.opened_humid_at !== null) return { state: "humid" };
  const from = Math.max(Date.parse(can.filled_at), can.tested_at === null ? 0 : Date.parse(can.tested_at));
  const on = new Date(from + can.retest_days * DAY);
  return on.getTime() <= now.getTime() ? { state: "due" } : { state: "later", on };
}
