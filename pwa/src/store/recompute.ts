/**
 * Kept tests computed again with what is known of their tube now. A kept test is sealed, so each that changes gets a
 * new revision; the old one stays beside it, and those that are shared go out again.
 */

import { type Result, result } from "../chemistry/budget";
import { Unusable } from "../errors";
import type { Tube } from "../records";
import { announce } from "./changes";
import { markStale, refreshFigures } from "./figures";
import { keep } from "./keep";
import { run } from "./open";
import type { OwnTest, Place, SealedTest, Writing } from "./schema";
import { SOURCE_PLACES } from "./sources";
import { queueTest } from "./tests";
import { recordOf, type TubeRow } from "./tube-row";
import { noteRecomputed } from "./tubes";

/** Tests of one transaction: short enough that an entry made meanwhile does not wait. */
const BATCH = 50;
/** Figures closer than this are the same, %. */
const SAME = 1e-6;

const PLACES: Place[] = [...SOURCE_PLACES, "tubes"];

export interface Figure {
  content: number;
  expanded_uncertainty: number;
}

/** What computing again would change, or has changed. */
export interface Recomputation {
  /** Tests that were made in the tube and not taken back. */
  made: number;
  /** Those whose figures change. */
  changed: number;
  /** Those of them that others see. */
  shared: number;
  /** Those that cannot be computed with the tube as it is now: they stay as they are. */
  impossible: number;
  /** Of the test whose content changes most; change: in points. */
  largest: { before: Figure; after: Figure; change: number } | null;
}

export const NOTHING: Recomputation = { made: 0, changed: 0, shared: 0, impossible: 0, largest: null };

/** Says what computing the tests of a tube again would change, and changes nothing. */
export function foreseeRecomputation(tube: string): Promise<Recomputation> {
  return inBatches(tube, (ids) =>
    run(async (base) => {
      const reading = base.transaction(["own_tests", "tubes"]);
      const row = await reading.objectStore("tubes").get(tube);
      const tests = await Promise.all(ids.map((id) => reading.objectStore("own_tests").get(id)));
      return row === undefined ? NOTHING : tests.map((test) => outcomeOf(test, row)).reduce(tallied, NOTHING);
    }),
  );
}

/**
 * Computes the tests of a tube again, a batch per transaction. Broken off half-way, the rest is foreseen again.
 * onProgress: told how many of how many tests have been looked at.
 */
export async function recomputeTests(
  tube: string,
  now: Date,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Recomputation> {
  const changed = await inBatches(
    tube,
    async (ids) => {
      const batch = await keep(PLACES, (writing) => reviseBatch(writing, tube, ids));
      announce("own_tests", "outbox", "sources");
      return batch;
    },
    onProgress,
  );
  if (changed.changed > 0) await noteRecomputed(tube, changed.changed, now);
  await refreshFigures(now);
  return changed;
}

async function reviseBatch(writing: Writing, tube: string, ids: string[]): Promise<Recomputation> {
  const tests = writing.objectStore("own_tests");
  const row = await writing.objectStore("tubes").get(tube);
  let tally = NOTHING;
  if (row === undefined) return tally;
  const sources = new Set<string>();
  for (const id of ids) {
    const outcome = outcomeOf(await tests.get(id), row);
    tally = tallied(tally, outcome);
    if (outcome.kind !== "changed") continue;
    const next = revised(outcome, row);
    await tests.put({ ...next, sync: await queueTest(writing, next) });
    sources.add(next.source);
  }
  for (const id of sources) await markStale(writing, id);
  return tally;
}

type Outcome = { kind: "gone" | "same" | "impossible" } | { kind: "changed"; test: OwnTest; found: Result };

function outcomeOf(test: OwnTest | undefined, tube: TubeRow): Outcome {
  if (test === undefined || test.retracted) return { kind: "gone" };
  if (isSame(test.test.tube, recordOf(tube))) return { kind: "same" };
  try {
    const found = result({ ...test.test, tube });
    return isSameFigure(test.test, found) ? { kind: "same" } : { kind: "changed", test, found };
  } catch (fault) {
    if (fault instanceof Unusable) return { kind: "impossible" };
    throw fault;
  }
}

function revised({ test: row, found }: Outcome & { kind: "changed" }, tube: TubeRow): OwnTest {
  const { content, expanded_uncertainty, own_uncertainty, shared_uncertainty } = found;
  const revision = row.test.revision + 1;
  const test: SealedTest = { ...row.test, revision, tube: recordOf(tube), content, expanded_uncertainty };
  return {
    ...row,
    test,
    earlier: [...row.earlier, row.test],
    own_uncertainty,
    shared_uncertainty,
    // What the server computed belongs to the revision before.
    server_content: null,
    server_uncertainty: null,
  };
}

function tallied(tally: Recomputation, outcome: Outcome): Recomputation {
  if (outcome.kind === "gone") return tally;
  const made = tally.made + 1;
  if (outcome.kind !== "changed") {
    return { ...tally, made, impossible: tally.impossible + Number(outcome.kind === "impossible") };
  }
  const { test, found } = outcome;
  const change = found.content - test.test.content;
  const { changed, shared } = tally;
  const largest = larger(tally.largest, { before: figureOf(test.test), after: figureOf(found), change });
  return { ...tally, made, changed: changed + 1, shared: shared + Number(test.shared), largest };
}

function larger(one: Recomputation["largest"], other: Recomputation["largest"]): Recomputation["largest"] {
  return one !== null && (other === null || Math.abs(one.change) >= Math.abs(other.change)) ? one : other;
}

function figureOf({ content, expanded_uncertainty }: Figure): Figure {
  return { content, expanded_uncertainty };
}

function isSameFigure(one: Figure, other: Figure): boolean {
  const { content, expanded_uncertainty } = one;
  const apart = Math.abs(content - other.content) + Math.abs(expanded_uncertainty - other.expanded_uncertainty);
  return apart < SAME;
}

/** Whether a test was computed with the same knowledge of its tube. */
function isSame(one: Tube, other: Tube): boolean {
  return keyOf(one) === keyOf(other);
}

function keyOf({ scale, graduation, liquid, tolerance, calibration = [], offset = 0, offset_uncertainty = 0 }: Tube) {
  const marks = calibration.map((mark) => [mark.nominal, mark.true]);
  return JSON.stringify([scale, graduation, liquid, tolerance, marks, offset, offset_uncertainty]);
}

async function inBatches(
  tube: string,
  step: (ids: string[]) => Promise<Recomputation>,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Recomputation> {
  const all = await run((base) => base.getAllKeysFromIndex("own_tests", "by_tube", tube));
  let sum = NOTHING;
  for (let done = 0; done < all.length; done += BATCH) {
    sum = together(sum, await step(all.slice(done, done + BATCH)));
    onProgress(Math.min(done + BATCH, all.length), all.length);
    // A breath for the screen.
    await new Promise((resolve) => setTimeout(resolve));
  }
  return sum;
}

function together(one: Recomputation, other: Recomputation): Recomputation {
  return {
    made: one.made + other.made,
    changed: one.changed + other.changed,
    shared: one.shared + other.shared,
    impossible: one.impossible + other.impossible,
    largest: larger(one.largest, other.largest),
  };
}
