/** Which of several contradicting runs is the odd one. */

import { result } from "../../chemistry/budget";
import type { Measurement } from "../../chemistry/measurement";
import { Unusable } from "../../errors";
import { contradicts } from "../shared/result/contradiction";

/**
 * The index of the run to set aside: the only one without which the others agree. null if there is none, if it could be
 * either of two, or if fewer than half of the runs would be left.
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
