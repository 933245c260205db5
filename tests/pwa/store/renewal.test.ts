// Saved tests are recomputed once when the tube model changes.

import { MODEL, result } from "@/chemistry/budget";
import { computeHere } from "@/compute";
import { nextBatch, settle } from "@/store/outbox";
import { renewTests } from "@/store/recompute";
import { markMovedRead, readMoved, renewOnce } from "@/store/renewal";
import { readFact } from "@/store/settings";
import { addSource } from "@/store/sources";
import { readTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, stored } from "../helpers/examples";

const LATER = new Date(NOW.getTime() + 3_600_000);
const STRONG = { water: 50, fuel: 50, line: 88.8, percent: null, top: null };

/** A test from the first model: `content` by the equation alone, and no model number. */
async function byFirstModel(source: string, runs: object[], content: number) {
  const { model: _, ...test } = keeping(source, { runs: runs as never }, true).test;
  const parts = { own_uncertainty: 0.8, shared_uncertainty: 0.4, shared: true };
  return saveTest({ test: { ...test, content, expanded_uncertainty: 1.9 }, ...parts }, NOW);
}

test("every test gets the new figure, and the user is informed once", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await byFirstModel(source, [STRONG], 83.5);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await renewOnce(LATER, computeHere);
  const row = await readTest(kept.id);
  const { content, expanded_uncertainty } = result(kept.test);
  expect(row?.test).toEqual({ ...kept.test, revision: 2, content, expanded_uncertainty, model: MODEL });
  expect(row?.earlier).toEqual([kept.test]);
  expect((await nextBatch()).map(({ id, revision }) => [id, revision])).toEqual([[kept.id, 2]]);
  const moved = await readMoved();
  expect(moved).toMatchObject({ changed: 1, largest: { before: { content: 83.5 }, after: { content } } });
  await markMovedRead();
  await renewOnce(LATER, computeHere);
  expect([await readMoved(), (await readTest(kept.id))?.test.revision]).toEqual([null, 2]);
});

test("tests the new model cannot compute stay unchanged without a notice", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await byFirstModel(source, [{ ...STRONG, water: 40, fuel: 60 }], 81);
  await renewOnce(LATER, computeHere);
  expect((await readTest(kept.id))?.test).toEqual(kept.test);
  expect(await readMoved()).toBeNull();
  expect((await readFact("model"))?.version).toBe(MODEL);
});

test("a second tab does not remove the first tab's notice", async () => {
  const source = await addSource(entry(), true, NOW);
  await byFirstModel(source, [STRONG], 83.5);
  await renewTests(LATER, computeHere);
  await renewTests(LATER, computeHere);
  expect(await readMoved()).toMatchObject({ changed: 1 });
});
