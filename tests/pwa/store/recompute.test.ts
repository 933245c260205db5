// Saved tests recomputed after a tube changed. FIGURES: 50 mL + 50 mL, scale at 78 %, 20 °C measured, 0.5 % water in
// the fuel, by the Python side: `splitline content --water 50 --fuel 50 --percent 78 --temperature 20 --scale …`.

import { result } from "@/chemistry/budget";
import { computeHere } from "@/compute";
import type { OwnTest } from "@/rows/test";
import { recordOf, type TubeRow } from "@/rows/tube";
import { listFigures } from "@/store/figure-rows";
import { nextBatch, settle } from "@/store/outbox";
import { NOTHING, previewRecomputation, recomputeTests } from "@/store/recompute";
import { addSource } from "@/store/sources";
import { readTest, retractTest, saveTest } from "@/store/tests";
import { addTube, editTube, readTube } from "@/store/tubes";
import { entry, keeping, NOW, stored, tubeRow } from "../helpers/examples";

const FIGURES = {
  unknown: { content: 79.89971707125889, expanded_uncertainty: 3.9994849178848635 },
  linear: { content: 82.98677443866119, expanded_uncertainty: 1.1128592698148863 },
};
const LATER = new Date(NOW.getTime() + 3_600_000);

const tubeEntry = () => {
  const { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark } = tubeRow({ scale: "unknown" });
  return { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark };
};

/** A test as the run sheet would save it, with figures from its runs. */
async function testIn(tube: TubeRow, source: string, change: { percent?: number; shared?: boolean } = {}) {
  const run = { water: 50, fuel: 50, line: null, percent: change.percent ?? 78, top: null };
  const wanted = keeping(source, { tube: recordOf(tube), runs: [run] }, change.shared ?? true);
  const found = result(wanted.test);
  const { content, expanded_uncertainty, own_uncertainty, shared_uncertainty } = found;
  const test = { ...wanted.test, content, expanded_uncertainty };
  return saveTest({ ...wanted, test, own_uncertainty, shared_uncertainty }, NOW);
}

async function sent(): Promise<void> {
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
}

const again = async (kept: OwnTest) => (await readTest(kept.id)) as OwnTest;

describe("a tube whose scale has been identified", () => {
  let tube: TubeRow;
  let source: string;
  let kept: OwnTest;
  beforeEach(async () => {
    tube = await addTube(tubeEntry(), NOW);
    source = await addSource(entry(), true, NOW);
    kept = await testIn(tube, source);
    await sent();
  });

  test("previews the changes without making them", async () => {
    expect(await previewRecomputation(tube.id)).toEqual({ ...NOTHING, made: 1 });
    await editTube(tube.id, { scale: "linear" }, LATER);
    const preview = await previewRecomputation(tube.id);
    expect(preview).toMatchObject({ made: 1, changed: 1, shared: 1, impossible: 0 });
    expect(preview.largest?.before.content).toBeCloseTo(FIGURES.unknown.content, 9);
    expect(preview.largest?.after.content).toBeCloseTo(FIGURES.linear.content, 9);
    expect((await again(kept)).test.revision).toBe(1);
    expect(await nextBatch()).toEqual([]);
  });

  test("gives its tests a new revision with new figures and queues it", async () => {
    expect(kept.test.expanded_uncertainty).toBeCloseTo(FIGURES.unknown.expanded_uncertainty, 9);
    await editTube(tube.id, { scale: "linear" }, LATER);
    expect(await recomputeTests(tube.id, LATER, computeHere)).toMatchObject({ made: 1, changed: 1, shared: 1 });
    const row = await again(kept);
    expect(row.test).toEqual({ ...kept.test, ...row.test, revision: 2, tube: { ...kept.test.tube, scale: "linear" } });
    expect(row.test.content).toBeCloseTo(FIGURES.linear.content, 9);
    expect(row.test.expanded_uncertainty).toBeCloseTo(FIGURES.linear.expanded_uncertainty, 9);
    expect(row.earlier).toEqual([kept.test]);
    expect(row.shared_uncertainty).toBeLessThan(kept.shared_uncertainty);
    expect([row.sync.state, row.server_content]).toEqual(["waiting", null]);
    expect((await nextBatch()).map(({ record }) => record)).toEqual([{ ...row.test, consent: "CC0-1.0" }]);
    expect((await listFigures())[0]?.figures?.typical).toBeCloseTo(FIGURES.linear.content, 0);
    expect((await readTube(tube.id))?.history.at(-1)).toEqual({
      at: LATER.toISOString(),
      what: "recomputed",
      tests: 1,
    });
    expect(await previewRecomputation(tube.id)).toEqual({ ...NOTHING, made: 1 });
    expect(await recomputeTests(tube.id, LATER, computeHere)).toMatchObject({ changed: 0 });
  });

  test("restores the old figures when changed back", async () => {
    await editTube(tube.id, { scale: "linear" }, LATER);
    await recomputeTests(tube.id, LATER, computeHere);
    await editTube(tube.id, { scale: "unknown" }, LATER);
    await recomputeTests(tube.id, LATER, computeHere);
    const row = await again(kept);
    expect(row.test).toEqual({ ...kept.test, revision: 3 });
    expect(row.own_uncertainty).toBe(kept.own_uncertainty);
    expect(row.earlier.map((one) => one.revision)).toEqual([1, 2]);
  });

  test("leaves withdrawn and private tests and those in other tubes alone", async () => {
    const other = await addTube(tubeEntry(), NOW);
    const elsewhere = await testIn(other, source);
    const secret = await testIn(tube, source, { percent: 60, shared: false });
    await sent();
    await retractTest(kept.id);
    await sent();
    await editTube(tube.id, { scale: "linear" }, LATER);
    expect(await recomputeTests(tube.id, LATER, computeHere)).toMatchObject({ made: 1, changed: 1, shared: 0 });
    expect((await again(secret)).test.revision).toBe(2);
    expect((await again(secret)).sync.state).toBe("private");
    expect((await again(kept)).test.revision).toBe(1);
    expect((await again(elsewhere)).test.revision).toBe(1);
    expect(await nextBatch()).toEqual([]);
  });

  test("leaves and counts the tests that a millilitre scale cannot read", async () => {
    await editTube(tube.id, { scale: "volume" }, LATER);
    const told = { ...NOTHING, made: 1, impossible: 1 };
    expect(await previewRecomputation(tube.id)).toEqual(told);
    expect(await recomputeTests(tube.id, LATER, computeHere)).toEqual(told);
    expect((await again(kept)).test.revision).toBe(1);
    expect((await readTube(tube.id))?.history.map((one) => one.what)).toEqual(["scale"]);
  });

  test("a change without effect on figures offers nothing", async () => {
    await editTube(tube.id, { tolerance: 0, name: "another name" }, LATER);
    expect(await previewRecomputation(tube.id)).toEqual({ ...NOTHING, made: 1 });
  });

  test("an unsent test is sent once in its newest revision", async () => {
    const fresh = await testIn(tube, source, { percent: 70 });
    await editTube(tube.id, { graduation: 0.5 }, LATER);
    const told = await recomputeTests(tube.id, LATER, computeHere);
    expect(told).toMatchObject({ changed: 2 });
    expect(told.largest?.after.content).toBeCloseTo(told.largest?.before.content as number, 9);
    const sent = (await nextBatch()).map(({ id, revision }) => [id, revision]);
    expect(new Map(sent as [string, number][])).toEqual(new Map([kept, fresh].map(({ id }) => [id, 2])));
    expect(sent).toHaveLength(2);
  });
});

test("recomputing in batches survives the phone dying in between", async () => {
  const tube = await addTube(tubeEntry(), NOW);
  const source = await addSource(entry(), false, NOW);
  const kept: OwnTest[] = [];
  for (let at = 0; at < 120; at += 1) {
    kept.push(await testIn(tube, source, { percent: 60 + at / 5, shared: false }));
  }
  await editTube(tube.id, { scale: "linear" }, LATER);
  expect(await previewRecomputation(tube.id)).toMatchObject({ made: 120, changed: 120 });

  const seen: number[] = [];
  const dying = recomputeTests(tube.id, LATER, computeHere, (done) => {
    seen.push(done);
    if (done === 100) throw new Error("out of battery");
  });
  await expect(dying).rejects.toThrow("out of battery");
  expect(seen).toEqual([50, 100]);
  expect(await previewRecomputation(tube.id)).toMatchObject({ made: 120, changed: 20 });
  expect(await recomputeTests(tube.id, LATER, computeHere)).toMatchObject({ changed: 20 });
  const revisions = await Promise.all(kept.map(async (one) => (await again(one)).test.revision));
  expect(new Set(revisions)).toEqual(new Set([2]));
});

test("a batch that fails leaves none of its tests changed", async () => {
  const tube = await addTube(tubeEntry(), NOW);
  const source = await addSource(entry(), false, NOW);
  for (const percent of [70, 75, 80]) await testIn(tube, source, { percent });
  await editTube(tube.id, { scale: "linear" }, LATER);
  const put = IDBObjectStore.prototype.put;
  let written = 0;
  IDBObjectStore.prototype.put = function (...args) {
    written += Number(this.name === "own_tests");
    if (written === 3) throw new RangeError("the third one");
    return put.apply(this, args);
  };
  onTestFinished(() => {
    IDBObjectStore.prototype.put = put;
  });
  await expect(recomputeTests(tube.id, LATER, computeHere)).rejects.toThrow("the third one");
  IDBObjectStore.prototype.put = put;
  expect(await previewRecomputation(tube.id)).toMatchObject({ made: 3, changed: 3 });
});
