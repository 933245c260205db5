/**
 * Recomputes saved tests: with what is now known about their tube, or all of them with a new model of the tube. A saved
 * test is sealed, so each one that changes gets a new revision; the old one stays, and shared ones are sent again.
 */

import { MODEL, type Result, result } from "../chemistry/budget";
import type { Compute } from "../compute";
import { Unusable } from "../errors";
import type { Tube } from "../records";
import type { OwnTest } from "../rows/test";
import { recordOf } from "../rows/tube";
import { announce } from "./changes";
import type { Figure, Recomputation } from "./facts";
import { markStale } from "./figure-rows";
import { refreshFigures } from "./figures";
import { keep } from "./keep";
import { run } from "./open";
import { withRevision } from "./revision";
import type { Place, Writing } from "./schema";
import { changeFact } from "./settings";
import { SOURCE_PLACES } from "./sources";
import { queueTest } from "./tests";
import { noteRecomputed } from "./tubes";

/** Tests per transaction: few enough not to delay an entry made meanwhile. */
const BATCH = 50;
/** Results closer than this are the same, %. */
const SAME = 1e-6;

const PLACES: Place[] = [...SOURCE_PLACES, "tubes"];

export const NOTHING: Recomputation = { made: 0, changed: 0, shared: 0, impossible: 0, largest: null };

/** Returns what recomputing a tube's tests would change, without changing anything. */
export function previewRecomputation(tube: string): Promise<Recomputation> {
  return inBatches(madeIn(tube), (ids) =>
    run(async (base) => {
      const reading = base.transaction(["own_tests", "tubes"]);
      const row = await reading.objectStore("tubes").get(tube);
      const tests = await Promise.all(ids.map((id) => reading.objectStore("own_tests").get(id)));
      if (row === undefined) return NOTHING;
      return tests.map((test) => outcomeOf(test, recordOf(row))).reduce(tallied, NOTHING);
    }),
  );
}

/**
 * Recomputes a tube's tests, a batch per transaction. After an interruption the rest can be recomputed later.
 * onProgress: called with how many of how many tests have been checked.
 */
export async function recomputeTests(
  tube: string,
  now: Date,
  compute: Compute,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Recomputation> {
  const changed = await inBatches(madeIn(tube), (ids) => reviseBatch(ids, tube), onProgress);
  if (changed.changed > 0) await noteRecomputed(tube, changed.changed, now);
  await refreshFigures(now, compute);
  return changed;
}

/**
 * Recomputes this phone's tests with a new model of the tube, once, and saves what that changed for the person to read.
 * Tests to which the new model does not apply stay unchanged, and so do other people's from a file: their own phones
 * compute them.
 */
export async function renewTests(now: Date, compute: Compute): Promise<void> {
  const moved = await inBatches(
    run((base) => base.getAllKeys("own_tests")),
    (ids) => reviseBatch(ids, null),
  );
  // Another tab may have been first.
  await changeFact("model", (old) => (old?.version === MODEL && moved.changed === 0 ? old : { version: MODEL, moved }));
  if (moved.changed > 0) await refreshFigures(now, compute);
}

function madeIn(tube: string): Promise<string[]> {
  return run((base) => base.getAllKeysFromIndex("own_tests", "by_tube", tube));
}

async function reviseBatch(ids: string[], tube: string | null): Promise<Recomputation> {
  const batch = await keep(PLACES, (writing) => reviseWithin(writing, ids, tube));
  announce("own_tests", "outbox", "sources");
  return batch;
}

async function reviseWithin(writing: Writing, ids: string[], tube: string | null): Promise<Recomputation> {
  const tests = writing.objectStore("own_tests");
  const row = tube === null ? undefined : await writing.objectStore("tubes").get(tube);
  let tally = NOTHING;
  if (tube !== null && row === undefined) return tally;
  const sources = new Set<string>();
  for (const id of ids) {
    const outcome = outcomeOf(await tests.get(id), row ? recordOf(row) : null);
    tally = tallied(tally, outcome);
    if (outcome.kind !== "changed") continue;
    const next = revised(outcome);
    await tests.put({ ...next, sync: await queueTest(writing, next) });
    sources.add(next.source);
  }
  for (const id of sources) await markStale(writing, id);
  return tally;
}

type Outcome = { kind: "gone" | "same" | "impossible" } | { kind: "changed"; test: OwnTest; tube: Tube; found: Result };

/** The new result of a test in a tube as it is known now; null: in its own tube, if an earlier model computed it. */
function outcomeOf(test: OwnTest | undefined, known: Tube | null): Outcome {
  if (test === undefined || test.retracted) return { kind: "gone" };
  const tube = known ?? test.test.tube;
  const isNewest = (test.test.model ?? 1) >= MODEL || test.author !== undefined;
  if (known === null ? isNewest : isSame(test.test.tube, known)) return { kind: "same" };
  try {
    const found = result({ ...test.test, tube });
    return isSameFigure(test.test, found) ? { kind: "same" } : { kind: "changed", test, tube, found };
  } catch (fault) {
    if (fault instanceof Unusable) return { kind: "impossible" };
    throw fault;
  }
}

function revised({ test: row, tube, found }: Outcome & { kind: "changed" }): OwnTest {
  const { content, expanded_uncertainty, own_uncertainty, shared_uncertainty } = found;
  return {
    ...withRevision(row, { ...row.test, tube, content, expanded_uncertainty, model: MODEL }),
    own_uncertainty,
    shared_uncertainty,
    // The server's content belongs to the previous revision.
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

/** Whether a test was computed with the same data about its tube. */
function isSame(one: Tube, other: Tube): boolean {
  return keyOf(one) === keyOf(other);
}

function keyOf({ scale, graduation, liquid, tolerance, calibration = [], ...tube }: Tube) {
  const { offset = 0, offset_uncertainty = 0, offset_content = null } = tube;
  const marks = calibration.map((mark) => [mark.nominal, mark.true]);
  return JSON.stringify([scale, graduation, liquid, tolerance, marks, offset, offset_uncertainty, offset_content]);
}

async function inBatches(
  tests: Promise<string[]>,
  step: (ids: string[]) => Promise<Recomputation>,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Recomputation> {
  const all = await tests;
  let sum = NOTHING;
  for (let done = 0; done < all.length; done += BATCH) {
    sum = together(sum, await step(all.slice(done, done + BATCH)));
    onProgress(Math.min(done + BATCH, all.length), all.length);
    // Yields to the screen.
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
