import type { OwnTest } from "@/rows/test";
import { loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { markTried, nextBatch, settle } from "@/store/outbox";
import { readPhoto, savePhoto, unsentPhotos } from "@/store/photos";
import { DEFAULTS, loadSettings, saveSettings } from "@/store/settings";
import { addSource } from "@/store/sources";
import { readTest, reviseTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, sealed, stored } from "../helpers/examples";

const picture = (byte: number) =>
  savePhoto({ bytes: new Uint8Array([byte]).buffer, type: "image/jpeg", width: 1, height: 1 }, NOW);
const place = { x: 1, y: 1 };

/** A test with one shared photo and one marked photo that stays. */
async function withTwo(shared: boolean): Promise<OwnTest & { goes: string; stays: string }> {
  const [goes, stays] = [await picture(1), await picture(2)];
  const marks = { photo: stays, bottom_volume: 0, bottom: place, water: place, fuel: place, line: place };
  const runs = sealed("x").runs.map((run) => ({ ...run, line_half_width: 0.3, marks }));
  const source = await addSource(entry(), shared, NOW);
  const test = { runs, photos: [goes, stays] };
  const row = await saveTest({ ...keeping(source, test, shared), unshared_photos: [stays] }, NOW);
  return { ...row, goes, stays };
}

test("sharing is undecided at first, and a draft is not shared by default", async () => {
  expect((await loadSettings()).share).toBeNull();
  expect(newDraft(await loadSettings(), NOW).shared).toBe(false);
  await saveSettings({ share: true });
  await saveDraft(newDraft(await loadSettings(), NOW));
  expect((await loadDraft())?.shared).toBe(true);
  expect(newDraft({ ...DEFAULTS, share: false }, NOW).shared).toBe(false);
});

test("an excluded photo is neither named nor sent and stays on the phone", async () => {
  const { id, goes, stays } = await withTwo(true);
  const batch = await nextBatch();
  const record = batch.find((one) => one.kind === "test")?.record;
  expect(record).toMatchObject({ photos: [goes], runs: [{ line_half_width: 0.3, marks: null }] });
  expect(JSON.stringify(batch)).not.toContain(stays);
  await markTried(batch, NOW);
  await settle(batch, batch.map(stored), NOW);
  expect(await unsentPhotos()).toEqual([goes]);
  expect(await readPhoto(stays)).toBeDefined();
  expect((await readTest(id))?.test).toMatchObject({ photos: [goes, stays], runs: [{ marks: { photo: stays } }] });
});

test("photos are chosen again when sharing starts later", async () => {
  const { id, goes, stays } = await withTwo(false);
  expect(await nextBatch()).toEqual([]);
  await reviseTest(id, { shared: true, unshared_photos: [goes] });
  const record = (await nextBatch()).find((one) => one.kind === "test")?.record;
  expect(record).toMatchObject({ photos: [stays], runs: [{ marks: { photo: stays } }] });
});
