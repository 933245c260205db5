/** From marks on a photo to the line in the tube's own unit, or the sentence that says why there is none. */

import { line_half_width, line_of_marks, type Marks } from "../../chemistry/axis";
import { type Suggestion, suggest_line } from "../../chemistry/photo";
import { Unusable } from "../../errors";
import { pixelsOf } from "../../picture";
import type { PhotoMarks } from "../../records";
import type { DraftRun, TubeRow } from "../../store/schema";
import { problemSentence } from "../problem-sentence";
import { fromPhoto } from "./run-entry";

/** How far off a cross set with the loupe may be, pixels of the picture. An estimate, no source. */
export const HAND_PIXELS = 2;

/** Share of the water filled at which a bottom mark is offered first. */
const BOTTOM = 0.2;

export interface PhotoLine {
  /** mL */
  line: number;
  half_width: number;
  /** What the run becomes when the person takes the reading. */
  entry: Partial<DraftRun>;
}

/**
 * The reading that follows from marks; a text where they give none.
 * bottom: mL at the bottom mark. line_pixels: half-width of the line in the picture.
 */
export function photoLine(
  tube: TubeRow,
  run: Pick<DraftRun, "water" | "fuel">,
  photo: string,
  marks: Marks,
  bottom: number | null,
  line_pixels: number = HAND_PIXELS,
): PhotoLine | string | null {
  if (bottom === null || run.water === null || run.fuel === null) return null;
  const volumes = [bottom, run.water, run.water + run.fuel] as const;
  try {
    const line = line_of_marks(marks, ...volumes);
    const half_width = line_half_width(marks, ...volumes, line_pixels, HAND_PIXELS);
    const kept: PhotoMarks = { photo, bottom_volume: bottom, ...marks };
    const entry = fromPhoto(tube, run, line, half_width, kept);
    return entry && { line, half_width, entry };
  } catch (fault) {
    if (fault instanceof Unusable && fault.problems[0]) return problemSentence(fault.problems[0]);
    throw fault;
  }
}

/** Where the program sees the line: null when there is no clear one; a sentence where the three marks do not do. */
export async function lookForLine(photo: Blob, marks: Marks): Promise<Suggestion | string | null> {
  const { data, width, height } = await pixelsOf(photo);
  try {
    return suggest_line(data, width, height, marks);
  } catch (fault) {
    if (fault instanceof Unusable && fault.problems[0]) return problemSentence(fault.problems[0]);
    throw fault;
  }
}

/** Half-width of the line in the picture, pixels: that of the border seen there while the cross stands in it. */
export function linePixels(marks: Marks, seen: Suggestion | null): number {
  if (seen === null) return HAND_PIXELS;
  const half_width = Math.max(HAND_PIXELS, seen.half_width);
  const away = Math.hypot(marks.line.x - seen.place.x, marks.line.y - seen.place.y);
  return away <= half_width ? half_width : HAND_PIXELS;
}

/** mL, offered for the bottom mark. */
export function bottomOffered(run: Pick<DraftRun, "water">): number {
  return Math.round(BOTTOM * (run.water ?? 0));
}
