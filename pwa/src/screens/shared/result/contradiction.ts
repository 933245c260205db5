/** Runs that contradict each other: how much that adds to the uncertainty. */

import type { Result } from "../../../chemistry/budget";
import { contribution } from "../../../chemistry/components";
import { NORMAL } from "../../../chemistry/coverage";

const CONTRADICTING: readonly string[] = ["runs_disagree", "median_counts"];

export function contradicts(found: Result): boolean {
  return found.warnings.some((code) => CONTRADICTING.includes(code));
}

/** apart: points between the lowest and highest run. without: the approximate 95 % uncertainty had they agreed, %. */
export interface Grown {
  apart: number;
  without: number;
}

/** What contradicting runs add to the uncertainty; null if they agree. */
export function grownOf(found: Result): Grown | null {
  if (!contradicts(found)) return null;
  const contents = found.runs.map((run) => run.content);
  const others = found.components.filter((part) => part.name !== "scatter");
  const variance = others.reduce((sum, part) => sum + contribution(part) ** 2, 0);
  return {
    apart: Math.max(...contents) - Math.min(...contents),
    // Not with the coverage factor for few runs: that is only needed because they scatter.
    without: NORMAL * Math.sqrt(variance),
  };
}
