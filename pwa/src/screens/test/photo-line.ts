/** From marks on a photo to the line in the tube's own unit, or a sentence saying why there is none. */

import { line_half_width, line_of_marks, type Marks } from "../../chemistry/axis";
import { marks_on_scale } from "../../chemistry/ladder";
import { type Suggestion, suggest_line } from "../../chemistry/photo";
import { Unusable } from "../../errors";
import { pixelsOf } from "../../files/picture";
import { type Guide, heldPixels, type Size } from "../../model/sight";
import type { PhotoMarks } from "../../records";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { problemSentence } from "../shared/problem-sentence";
import { fromPhoto } from "./run-entry";

/** A photo and the position of the guide on it, in pixels of the photo. */
export interface Shot {
  digest: string;
  photo: Blob;
  size: Size;
  guide: Guide;
}

/** How far off a cross set with the loupe may be, pixels of the picture. An estimate, no source. */
export const HAND_PIXELS = 2;

/** The bottom mark's suggested volume, as a share of the water filled. */
const BOTTOM = 0.2;

export interface PhotoLine {
  /** mL */
  line: number;
  half_width: number;
  /** The change to the run if the person accepts the reading. */
  entry: Partial<DraftRun>;
}

/**
 * The reading from marks; a text if there is none. bottom: mL at the bottom mark. line_pixels, mark_pixels: half-widths
 * of the line and of the known marks in the picture.
 */
export function photoLine(
  tube: TubeRow,
  run: Pick<DraftRun, "water" | "fuel">,
  photo: string,
  marks: Marks,
  bottom: number | null,
  line_pixels: number = HAND_PIXELS,
  mark_pixels: number = HAND_PIXELS,
): PhotoLine | string | null {
  if (bottom === null || run.water === null || run.fuel === null) return null;
  const volumes = [bottom, run.water, run.water + run.fuel] as const;
  try {
    const line = line_of_marks(marks, ...volumes);
    const half_width = line_half_width(marks, ...volumes, line_pixels, mark_pixels);
    const kept: PhotoMarks = { photo, bottom_volume: bottom, ...marks };
    const entry = fromPhoto(tube, run, line, half_width, kept);
    return entry && { line, half_width, entry };
  } catch (fault) {
    if (fault instanceof Unusable && fault.problems[0]) return problemSentence(fault.problems[0]);
    throw fault;
  }
}

export interface Guided {
  marks: Marks;
  /** Half-width of the known marks, pixels. */
  mark_pixels: number;
  /** The marks were fitted to the printed scale; otherwise they are where the guide was. */
  fitted: boolean;
  /** null: no clear line. A text: why no line was searched. */
  seen: Suggestion | string | null;
}

/** Reads a photo taken through the guide: the known marks, fitted to the scale if it is visible, and the line. */
export async function readGuided(photo: Blob, guide: Guide, tube: TubeRow): Promise<Guided> {
  const { data, width, height } = await pixelsOf(photo);
  const { bottom, water, fuel } = guide.volumes;
  // Only a volume scale has its strokes at these volumes.
  const onScale =
    tube.scale === "volume"
      ? marks_on_scale(data, width, height, guide.marks, [bottom, water, fuel], guide.width, tube.graduation)
      : null;
  const held = onScale ?? guide.marks;
  const mark_pixels = onScale ? HAND_PIXELS : Math.max(HAND_PIXELS, heldPixels(held));
  const seen = orProblem(() => suggest_line(data, width, height, held));
  const marks = seen !== null && typeof seen === "object" ? { ...held, line: seen.place } : held;
  return { marks, mark_pixels, fitted: onScale !== null, seen };
}

/** The line the program finds: null if there is no clear one; a sentence if the three marks are unusable. */
export async function lookForLine(photo: Blob, marks: Marks): Promise<Suggestion | string | null> {
  const { data, width, height } = await pixelsOf(photo);
  return orProblem(() => suggest_line(data, width, height, marks));
}

function orProblem<Found>(look: () => Found): Found | string {
  try {
    return look();
  } catch (fault) {
    if (fault instanceof Unusable && fault.problems[0]) return problemSentence(fault.problems[0]);
    throw fault;
  }
}

/** Half-width of the line in the picture, pixels: the width of the border found, while the cross is within it. */
export function linePixels(marks: Marks, seen: Suggestion | null): number {
  if (seen === null) return HAND_PIXELS;
  const half_width = Math.max(HAND_PIXELS, seen.half_width);
  const away = Math.hypot(marks.line.x - seen.place.x, marks.line.y - seen.place.y);
  return away <= half_width ? half_width : HAND_PIXELS;
}

/** mL, suggested for the bottom mark. */
export function bottomOffered(run: Pick<DraftRun, "water">): number {
  return Math.round(BOTTOM * (run.water ?? 0));
}
