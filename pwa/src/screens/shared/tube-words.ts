/** What is known about a tube, and its changes, in words. */

import { labels } from "../../i18n";
import { count, day, mL, percent, withUncertainty } from "../../i18n/format";
import { excessOf, uncertaintyOf } from "../../model/weighing";
import type { Scale } from "../../records";
import type { KnownSample, TubeChange, TubeRow, WeighedMark } from "../../rows/tube";

export function stepText({ scale }: Pick<TubeRow, "scale">, step: number): string {
  return scale === "volume" ? mL(step, decimalsOf(step)) : percent(step, decimalsOf(step));
}

/** `49.7 ± 0.1 mL` */
export function volumeText(mark: WeighedMark): string {
  return withUncertainty(mark.true, uncertaintyOf(mark), "mL");
}

/** `+0.3 ± 0.1 mL`, relative to the printed volume. */
export function excessText(mark: WeighedMark): string {
  return signedWith(excessOf(mark), uncertaintyOf(mark), "mL");
}

/** A mark's printed volume, with no more decimals than it has. */
export function markText(nominal: number): string {
  return mL(nominal, decimalsOf(nominal));
}

/** `+2.2 ± 2.0 points` */
export function offsetText(offset: number, uncertainty: number): string {
  return signedWith(offset, uncertainty, labels.tubes.known.points);
}

export function knownText({ known, known_uncertainty }: KnownSample): string {
  return withUncertainty(known, known_uncertainty);
}

export function measuredText({ measured, measured_uncertainty }: KnownSample): string {
  return withUncertainty(measured, measured_uncertainty);
}

export function scaleText(scale: Scale): string {
  return labels.scales[scale].label;
}

/** One entry of the history, without its date. */
export function changeText(change: TubeChange, row: TubeRow): string {
  const words = labels.tubes.history;
  switch (change.what) {
    case "scale":
      return words.scale(scaleText(change.before), scaleText(change.after));
    case "liquid": {
      const { liquid } = labels.test.tubeForm;
      return words.liquid(liquid[change.before], liquid[change.after]);
    }
    case "graduation":
      return words.graduation(orNone(change.before, stepOf(row)), orNone(change.after, stepOf(row)));
    case "tolerance":
    case "water_mark":
    case "fuel_mark":
      return words[change.what](orNone(change.before, markText), orNone(change.after, markText));
    case "weighed":
    case "weighing_dropped":
      return words[change.what](markText(change.mark.nominal), volumeText(change.mark));
    case "scale_checked": {
      const marks = count(change.check.marks.length, words.markOne, words.markMany);
      return words.scale_checked(marks, labels.tubes.check.kind[change.check.kind]);
    }
    case "offset_taken": {
      const { sample, offset, offset_uncertainty } = change;
      return words.offset_taken(offsetText(offset, offset_uncertainty), knownText(sample), measuredText(sample));
    }
    case "offset_dropped":
      return words.offset_dropped(offsetText(change.offset, change.offset_uncertainty));
    case "recomputed":
      return words.recomputed(count(change.tests, labels.common.test, labels.common.tests));
  }
}

/** How the kind of scale is known. */
export function scaleOrigin(row: TubeRow): string {
  const words = labels.tubes.known;
  const check = row.scale_checks.findLast((one) => one.kind === row.scale);
  return check === undefined ? words.entered : words.byHeights(day(check.checked_at));
}

/** Whether the last conclusive heights contradict the entered kind of scale. */
export function isContradicted({ scale, scale_checks }: TubeRow): boolean {
  const last = scale_checks.findLast((check) => check.kind !== "cannot_tell");
  return last !== undefined && (scale === "linear" || scale === "corrected") && last.kind !== scale;
}

function stepOf(row: TubeRow): (step: number) => string {
  return (step) => stepText(row, step);
}

function orNone(value: number | null, text: (value: number) => string): string {
  return value === null ? labels.tubes.history.none : text(value);
}

function signedWith(value: number, uncertainty: number, unit: string): string {
  const text = withUncertainty(value, uncertainty, unit);
  return value > 0 ? labels.format.signed(text) : text;
}

function decimalsOf(value: number): number {
  return String(value).split(".")[1]?.length ?? 0;
}
