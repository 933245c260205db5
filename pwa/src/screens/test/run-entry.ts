/** What an entry changes in a run: its photo, its reading by eye, its reading from the photo. */

import { reading_of_line } from "../../chemistry/scale";
import { withRun } from "../../model/progress";
import type { PhotoMarks } from "../../records";
import type { Draft, DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";

/** A reading by eye, in the tube's own unit; an earlier reading from a photo no longer applies. */
export function byEye(tube: TubeRow, value: number | null): Partial<DraftRun> {
  return { ...reading(tube, value), line_half_width: null, marks: null };
}

/** A change to a run, with the time its line was first read. now: ms since 1970. */
export function readNow(run: DraftRun, part: Partial<DraftRun>, now: number): Partial<DraftRun> {
  const reads = (part.line ?? part.percent ?? null) !== null;
  return reads && (run.read_at ?? null) === null ? { ...part, read_at: now } : part;
}

/** The line of a photo in mL with its half-width, and the marks behind it; null if the kind of scale is unknown. */
export function fromPhoto(
  tube: TubeRow,
  run: Pick<DraftRun, "water" | "fuel">,
  line: number,
  line_half_width: number,
  marks: PhotoMarks,
): Partial<DraftRun> | null {
  if (tube.scale === "unknown" || run.water === null || run.fuel === null) return null;
  const shown = reading_of_line(tube.scale, line, run.water, run.fuel);
  return { ...reading(tube, hundredths(shown)), line_half_width: hundredths(line_half_width), marks };
}

/** The sheet with a new photo for one run, or without one. */
export function withPhoto(draft: Draft, index: number, photo: string | null): Pick<Draft, "runs" | "photos"> {
  const kept = draft.runs[index]?.marks?.photo === photo ? {} : { marks: null, line_half_width: null };
  return withRuns(withRun(draft.runs, index, { photo, ...kept }));
}

/** The runs with one of them set aside, or counted again if the reason is empty. */
export function withAside(runs: readonly DraftRun[], index: number, why: string): DraftRun[] {
  return runs.map(({ set_aside = "", ...run }, at) => {
    const reason = at === index ? why : set_aside;
    return reason === "" ? run : { ...run, set_aside: reason };
  });
}

/** The sheet with new runs; the photos of the test are those of its runs. */
export function withRuns(runs: DraftRun[]): Pick<Draft, "runs" | "photos"> {
  return { runs, photos: [...new Set(runs.flatMap((run) => run.photo ?? []))] };
}

function reading(tube: TubeRow, value: number | null): Pick<DraftRun, "line" | "percent"> {
  return tube.scale === "volume" ? { line: value, percent: null } : { line: null, percent: value };
}

/** Finer than any photo shows, and without binary floating-point noise; never 0 for a positive value. */
function hundredths(value: number): number {
  return Math.max(Number(value.toFixed(2)), Math.min(value, 0.01));
}
