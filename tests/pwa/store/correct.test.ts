import type { Draft } from "@/rows/draft";
import type { OwnTest } from "@/rows/test";
import { recordOf } from "@/rows/tube";
import { outcomeOf, sealedTest } from "@/screens/shared/result/outcome";
import { correctionOf } from "@/screens/test/correction";
import { correctTest, isBeingCorrected, NotCorrectable } from "@/store/correct";
import { correctionKey, loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { listFigures } from "@/store/figure-rows";
import { run } from "@/store/open";
import { markTried, nextBatch, settle } from "@/store/outbox";
import { readPhoto, savePhoto } from "@/store/photos";
import { DEFAULTS } from "@/store/settings";
import { addSource } from "@/store/sources";
import { readTest, retractTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, STRANGER, sealed, stored, tubeRow } from "../helpers/examples";

const LATER = new Date(NOW.getTime() + 86_400_000);
const TUBE = tubeRow();

/** A saved test of this tube, as the run sheet would have computed it. */
async function saved(change: Partial<OwnTest["test"]> = {}, shared = true): Promise<OwnTest> {
  const source = await addSource(entry(), shared, NOW);
  return saveTest(keeping(source, { tube: recordOf(TUBE), ...change }, shared), NOW);
}

/** What saving a correction writes. */
function corrected(row: OwnTest, change: Partial<Draft> = {}) {
  const draft = { ...correctionOf(row, [TUBE], DEFAULTS), ...change };
  const found = outcomeOf(draft, [TUBE])?.result;
  if (!found) throw new Error("no result");
  const test = sealedTest(draft, [TUBE], found, LATER);
  if (!test) throw new Error("not complete");
  const { own_uncertainty, shared_uncertainty } = found;
  return { test, own_uncertainty, shared_uncertainty, shared: draft.shared };
}

const line = (row: OwnTest, value: number) =>
  correctionOf(row, [TUBE], DEFAULTS).runs.map((run) => ({ ...run, line: value }));

test("a new reading is a new revision in the queue, and the former one stays with its time", async () => {
  const row = await saved();
  const batch = await nextBatch();
  await markTried(batch, NOW);
  await settle(batch, batch.map(stored), NOW);
  const next = await correctTest(corrected(row, { runs: line(row, 86) }), LATER);
  expect(next.test.revision).toBe(2);
  expect(next.test.runs[0]?.line).toBe(86);
  expect(next.test.content).toBeLessThan(row.test.content - 3);
  expect(next.test.tested_at).toBe(row.test.tested_at);
  expect(next.earlier).toEqual([row.test]);
  expect(next.replaced).toEqual([{ revision: 1, at: LATER.toISOString() }]);
  expect(next.server_content).toBeNull();
  expect(await nextBatch()).toMatchObject([{ kind: "test", id: row.id, revision: 2, record: { consent: "CC0-1.0" } }]);
});

test("changing the source moves the test and updates both sources' figures", async () => {
  const row = await saved();
  const other = await addSource(entry({ name: "Pas des Genets" }), true, NOW);
  await run((base) => base.clear("figures"));
  await correctTest(corrected(row, { source: other }), LATER);
  expect((await readTest(row.id))?.source).toBe(other);
  expect((await listFigures()).map((one) => [one.source, one.stale]).sort()).toEqual(
    [
      [row.source, 1],
      [other, 1],
    ].sort(),
  );
});

test.each<[string, Partial<OwnTest["test"]>]>([
  ["one temperature of everything", {}],
  [
    "a tube that was measured",
    { water_temperature: 12, water_temperature_measured: true, fuel_temperature: 9, fuel_temperature_measured: true },
  ],
  [
    "a tube that was reckoned",
    { temperature: 16.25, temperature_measured: false, water_temperature: 12, water_temperature_measured: false },
  ],
])("a sheet with nothing changed says what the test says: %s", async (_, change) => {
  const row = await saved(change);
  const { test } = corrected(row);
  const { content: _c, expanded_uncertainty: _u, model: _m, ...entered } = test;
  expect(entered).toMatchObject({
    ...change,
    source: row.source,
    sampled_at: row.test.sampled_at,
    tube: row.test.tube,
    runs: row.test.runs,
  });
  expect(test.temperature).toBeCloseTo(row.test.temperature, 9);
});

test("correcting the water temperature corrects the estimated tube temperature", async () => {
  const row = await saved({ temperature: 16, temperature_measured: false, water_temperature: 12 });
  expect(corrected(row, { water_temperature: 7 }).test.temperature).toBeCloseTo(11, 9);
});

test("a correction has its own draft and leaves the current one alone", async () => {
  const row = await saved();
  const other = { ...newDraft(DEFAULTS, NOW), note: "of another sample" };
  await saveDraft(other);
  const draft = correctionOf(row, [TUBE], DEFAULTS);
  await saveDraft({ ...draft, note: "half done" }, correctionKey(row.id));
  expect(await isBeingCorrected(row.id)).toBe(true);
  expect((await loadDraft(correctionKey(row.id)))?.note).toBe("half done");
  await correctTest(corrected(row), LATER);
  expect(await isBeingCorrected(row.id)).toBe(false);
  expect(await loadDraft()).toEqual(other);
});

test("withdrawn and other people's tests cannot be corrected", async () => {
  const row = await saved();
  const wanted = corrected(row);
  await saveDraft(correctionOf(row, [TUBE], DEFAULTS), correctionKey(row.id));
  await retractTest(row.id);
  expect(await isBeingCorrected(row.id)).toBe(false);
  await expect(correctTest(wanted, LATER)).rejects.toThrow(NotCorrectable);

  const foreign: OwnTest = { ...row, id: sealed("x").id, author: STRANGER };
  await run((base) => base.put("own_tests", foreign));
  await expect(correctTest({ ...wanted, test: { ...wanted.test, id: foreign.id } }, LATER)).rejects.toThrow(
    NotCorrectable,
  );
  expect((await readTest(foreign.id))?.test.revision).toBe(1);
});

test("a shared test stays shared, and a private one leaves the phone only when asked", async () => {
  const row = await saved({}, false);
  expect((await correctTest(corrected(row), LATER)).sync.state).toBe("private");
  expect(await nextBatch()).toEqual([]);
  const open = await saved();
  expect((await correctTest({ ...corrected(open), shared: false }, LATER)).shared).toBe(true);
});

test("a removed photo is deleted and a photo of no run stays", async () => {
  const picture = (byte: number) =>
    savePhoto({ bytes: new Uint8Array([byte]).buffer, type: "image/jpeg", width: 1, height: 1 }, NOW);
  const [first, loose] = [await picture(1), await picture(2)];
  const row = await saved({ photos: [first, loose] });
  const draft = correctionOf(row, [TUBE], DEFAULTS);
  expect(draft.runs[0]?.photo).toBe(first);
  const without = draft.runs.map((run) => ({ ...run, photo: null }));
  const next = await correctTest(corrected(row, { runs: without, photos: [] }), LATER);
  expect(next.test.photos).toEqual([loose]);
  expect(await readPhoto(first)).toBeUndefined();
  expect(await readPhoto(loose)).toBeDefined();
});
