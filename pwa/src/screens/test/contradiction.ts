/** Runs that contradict each other: how much that adds to the uncertainty, and which run is the odd one. */

import { type Result, result } from "../../chemistry/budget";
import { contribution } from "../../chemistry/components";
import { NORMAL } from "../../chemistry/coverage";
import type { Measurement } from "../../chemistry/measurement";
import { Unusable } from "../../errors";

const CONTRADICTING: readonly string[] = ["runs_disagree", "median_counts"];

export function contradicts(found: Result): boolean {
  return found.warnings.some((code) => CONTRADICTING.includes(code));
}

/** apart: points between the lowest and the highest run. without: about the 95 % uncertainty of runs that agree, %. */
export interface Grown {
  apart: number;
  without: number;
}

/** What contradicting runs add to the uncertainty; null where they agree. */
export function grownOf(found: Result): Grown | null {
  if (!contradicts(found)) return null;
  const contents = found.runs.map((run) => run.content);
  const others = found.components.filter((part) => part.name !== "scatter");
  const variance = others.reduce((sum, part) => sum + contribution(part) ** 2, 0);
  return {
    apart: Math.max(...contents) - Math.min(...contents),
    // Not with the factor of the few runs: it is theirs because they scatter.
    without: NORMAL * Math.sqrt(variance),
  };
}

/**
 * Which run, by its place, can be set aside: the only one without which the others agree. null where there is none, or
 * where it could be either of two; and where less than half of the runs would be left.
 */
export function oddRun(measurement: Measurement): number | null {
  const { runs } = measurement;
  const counting = [...runs.keys()].filter((at) => !runs[at]?.set_aside);
  if (counting.length < 3 || 2 * (counting.length - 1) <= runs.length) return null;
  const odd = counting.filter((at) => agreeWithout(measurement, at));
  return odd.length === 1 ? (odd[0] as number) : null;
}

function agreeWithout(measurement: Measurement, at: number): boolean {
  try {
    return !contradicts(result({ ...measurement, runs: measurement.runs.filter((_, other) => other !== at) }));
  } catch (fault) {
    if (fault instanceof Unusable) return false;
    throw fault;
  }
}
