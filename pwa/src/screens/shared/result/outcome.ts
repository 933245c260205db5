/** From a run sheet to its result and its record. All computing is in src/chemistry. */

import { type Advice, advice, per_ten_degrees } from "../../../chemistry/advice";
import { MODEL, type Result, result } from "../../../chemistry/budget";
import { contribution, type Scope } from "../../../chemistry/components";
import { check_scale_kind, SPECIFICATIONS, type Verdict, verdict } from "../../../chemistry/meaning";
import type { Measurement } from "../../../chemistry/measurement";
import { type Problem, Unusable } from "../../../errors";
import { rfc3339 } from "../../../i18n/format";
import { isRead, tubeOf } from "../../../model/progress";
import { temperaturesOf } from "../../../model/temperatures";
import type { Run, Tube } from "../../../records";
import type { Draft, DraftRun } from "../../../rows/draft";
import type { Settings } from "../../../rows/settings";
import type { SealedTest } from "../../../rows/test";
import type { TubeRow } from "../../../rows/tube";
import { recordOf } from "../../../rows/tube";
import { letterOf } from "../../../widgets/waterfall-columns";
import { contradicts } from "./contradiction";

export type Outcome = { result: Result; problems: null } | { result: null; problems: readonly Problem[] };

/** The result of the complete runs; null before the first one. */
export function outcomeOf(draft: Draft, tubes: readonly TubeRow[]): Outcome | null {
  const measurement = measurementOf(draft, tubes);
  if (!measurement) return null;
  try {
    return { result: result(measurement), problems: null };
  } catch (trouble) {
    if (trouble instanceof Unusable) return { result: null, problems: trouble.problems };
    throw trouble;
  }
}

export type Measured = Measurement & { tube: Required<Tube>; runs: Run[] };

/** The measurement of the complete runs; null without one, or if a tube is no longer on this phone. */
export function measurementOf(draft: Draft, tubes: readonly TubeRow[]): Measured | null {
  const whole = draft.runs.filter(isWhole);
  const used = whole.flatMap((run) => tubeOf(draft, run, tubes) ?? []);
  const [first] = used;
  const temperatures = temperaturesOf(draft, whole);
  if (first === undefined || used.length < whole.length || temperatures === null) return null;
  const runs = whole.map((run, index) => asRun(run, used[index]?.id === first.id ? undefined : used[index]));
  return { tube: recordOf(first), runs, ...temperatures, fuel_water: draft.fuel_water };
}

/** The record to save; null while something is missing. */
export function sealedTest(draft: Draft, tubes: readonly TubeRow[], found: Result, now: Date): SealedTest | null {
  const { id, source, sampled, corrects } = draft;
  const measurement = measurementOf(draft, tubes);
  if (source === null || sampled === null || measurement === null) return null;
  // If the clock was set back meanwhile, the sheet seems to have started after the test.
  const sampled_at = draft.sampled_at ?? rfc3339(new Date(Math.min(Date.parse(draft.started_at), now.getTime())));
  return {
    kind: "test",
    id,
    revision: 1,
    source,
    sampled,
    sampled_at,
    tested_at: corrects ? later(corrects.tested_at, sampled_at) : rfc3339(now),
    ...measurement,
    content: found.content,
    expanded_uncertainty: found.expanded_uncertainty,
    model: MODEL,
    note: draft.note.trim(),
    photos: [...draft.photos, ...(corrects?.loose ?? [])],
  };
}

/** The later of two times: a test is never before its sample. */
function later(one: string, other: string): string {
  return Date.parse(one) >= Date.parse(other) ? one : other;
}

/** The result of each run on its own, including one set aside, with its own uncertainty; null if there is none. */
export function eachAlone(measurement: Measurement | null): (Result | null)[] {
  return (measurement?.runs ?? []).map((run) => {
    try {
      return result({ ...measurement, runs: [{ ...run, set_aside: "" }] } as Measurement);
    } catch (trouble) {
      if (trouble instanceof Unusable) return null;
      throw trouble;
    }
  });
}

/** Content minus and plus its uncertainty, within the possible range of a content. */
export function limitsOf(content: number, uncertainty: number): [number, number] {
  return [Math.max(0, content - uncertainty), Math.min(100, content + uncertainty)];
}

export interface Share {
  name: string;
  /** Of the variance, 0..1. */
  share: number;
  /** What reduces it: another run, another tube, or neither. */
  scope: Scope;
  /** The expanded uncertainty from this part alone, points. */
  points: number;
  /** Its label in the pictures. */
  letter: string;
}

/** The parts of the uncertainty, largest first. A part with a correction of its own has that correction's letter. */
export function sharesOf(found: Result): Share[] {
  const whole = found.components.reduce((sum, part) => sum + contribution(part) ** 2, 0);
  const lettered = ["as_read", ...found.steps.map((step) => step.name), "content"];
  return found.components
    .map((part) => ({
      name: part.name,
      scope: part.scope,
      share: contribution(part) ** 2 / whole,
      points: found.coverage_factor * contribution(part),
    }))
    .sort((a, b) => b.points - a.points)
    .map((part) => {
      const place = lettered.indexOf(part.name);
      return { ...part, letter: letterOf(place < 0 ? lettered.push(part.name) - 1 : place) };
    });
}

export interface Hints {
  /** What would make the result more certain, the best first. */
  advice: readonly Advice[];
  /** Points of content for ten degrees more, if the temperature is an estimate that matters. */
  perTenDegrees: number | null;
}

/** A smaller effect, in points for ten degrees, is not shown. */
const SHOWS = 0.05;

export function hintsOf(measurement: Measurement): Hints {
  const points = per_ten_degrees(measurement);
  const matters = !measurement.temperature_measured && Math.abs(points) >= SHOWS;
  return { advice: advice(measurement), perTenDegrees: matters ? points : null };
}

/** The advice on further runs: a second one, and a third if two disagree. rest: the runs that count agree. */
export type Further = "second" | "third" | "differ" | "enough" | "rest";

export function furtherRun(found: Result, made = found.runs.length): Further {
  if (found.runs.length < 2) return "second";
  if (contradicts(found)) return found.runs.length === 2 ? "third" : "differ";
  return found.runs.length < made ? "rest" : "enough";
}

export interface Meaning {
  specification: { name: string; verdict: Verdict } | null;
  /** Codes of everything odd about it. */
  warnings: readonly string[];
}

/** asked: the key of a specification. */
export function meaningOf(found: Result, asked: Settings["specification"]): Meaning {
  const { content, expanded_uncertainty } = found;
  const chosen = SPECIFICATIONS.find((one) => one.code === asked);
  return {
    specification: chosen ? { name: chosen.name, verdict: verdict(content, expanded_uncertainty, chosen) } : null,
    warnings: [...found.warnings, ...(check_scale_kind(content, expanded_uncertainty) ? ["check_scale_kind"] : [])],
  };
}

type WholeRun = DraftRun & { water: number; fuel: number };

function isWhole(run: DraftRun): run is WholeRun {
  return run.water !== null && run.fuel !== null && isRead(run);
}

/** other: the tube, if it is not the test's. */
function asRun({ water, fuel, line, percent, top, line_half_width, marks, set_aside }: WholeRun, other?: TubeRow): Run {
  const read = { water, fuel, line, percent, top, line_half_width, marks };
  return { ...read, ...(other && { tube: recordOf(other) }), ...(set_aside && { set_aside }) };
}
