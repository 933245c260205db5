/** A fuel of known content, tested in a tube: what the tube reads too low or too high. */

import { result } from "../chemistry/budget";
import { known_sample, type Offset } from "../chemistry/calibration";
import { tube_problems } from "../chemistry/limits";
import { type Problem, Unusable } from "../errors";
import type { SealedTest } from "../rows/test";
import type { KnownSample, TubeRow } from "../rows/tube";

export type SampleFound =
  | { sample: KnownSample; offset: Offset; problems: readonly Problem[] }
  | { problems: readonly Problem[] };

/**
 * Compares a test of a fuel of known content, in % with its expanded uncertainty, with that content. The test is
 * computed with everything known about the tube except its present offset: that one is replaced, and must not count
 * twice.
 */
export function sampleFound(
  row: TubeRow,
  test: SealedTest,
  known: number,
  known_uncertainty: number,
  now: Date,
): SampleFound {
  try {
    // What was found in other tubes says nothing about this one.
    const runs = test.runs.filter((run) => !run.tube);
    const tube = { ...row, offset: 0, offset_uncertainty: 0, offset_content: null };
    const { content, expanded_uncertainty } = result({ ...test, tube, runs });
    const offset = known_sample(content, expanded_uncertainty, known, known_uncertainty);
    const sample: KnownSample = {
      test: test.id,
      known,
      known_uncertainty,
      measured: content,
      measured_uncertainty: expanded_uncertainty,
      taken_at: now.toISOString(),
    };
    return { sample, offset, problems: tube_problems({ ...row, offset: offset.offset }) };
  } catch (fault) {
    if (fault instanceof Unusable) return { problems: fault.problems };
    throw fault;
  }
}

const MOVING: readonly string[] = ["scale", "liquid", "weighed", "weighing_dropped"];

/** Whether the tube was changed after its offset was found, in a way that affects its readings. */
export function isOld({ sample, history }: Pick<TubeRow, "sample" | "history">): boolean {
  return sample !== null && history.some(({ at, what }) => MOVING.includes(what) && at > sample.taken_at);
}

/** Whether the offset is from before the correction for what the layers exchange; brine needs none. */
export function lacksContent({ offset_uncertainty, offset_content, liquid }: TubeRow): boolean {
  return offset_uncertainty > 0 && offset_content === null && liquid === "water";
}
