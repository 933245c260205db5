import { applyPage } from "@/store/cursor";
import { newDraft, saveDraft } from "@/store/drafts";
import { run } from "@/store/open";
import { nextBatch, settle } from "@/store/outbox";
import { obstacleTo, retractSource } from "@/store/retract-source";
import { DEFAULTS } from "@/store/settings";
import { addSource, readSource } from "@/store/sources";
import { retractTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, pulledTest, refused, stored } from "../helpers/examples";

async function sentSource(): Promise<string> {
  const id = await addSource(entry(), true, NOW);
  await answer(stored);
  return id;
}

async function answer(how: typeof stored): Promise<void> {
  const batch = await nextBatch();
  await settle(batch, batch.map(how), NOW);
}

test("a source the server never saw is deleted at once", async () => {
  const id = await addSource(entry(), false, NOW);
  expect(await retractSource(id)).toBeNull();
  expect(await readSource(id)).toBeUndefined();
  expect(await run((base) => base.get("figures", id))).toBeUndefined();
  expect(await nextBatch()).toEqual([]);
});

test("a queued source that was never sent leaves the queue", async () => {
  const id = await addSource(entry(), true, NOW);
  await retractSource(id);
  expect(await nextBatch()).toEqual([]);
  expect(await readSource(id)).toBeUndefined();
});

test("a source the server knows stays until it agrees", async () => {
  const id = await sentSource();
  expect(await retractSource(id)).toBeNull();
  expect((await readSource(id))?.source.retracting).toBe(true);
  expect((await nextBatch()).map((one) => one.record)).toEqual([{ kind: "source", id, revision: 2, retracted: true }]);
  await answer(stored);
  expect(await readSource(id)).toBeUndefined();
  expect(await nextBatch()).toEqual([]);
});

test("if others have tested there the server refuses and the source is unchanged", async () => {
  const id = await sentSource();
  await retractSource(id);
  await answer(refused);
  const source = (await readSource(id))?.source;
  expect(source?.retracting).toBe(false);
  expect(source?.sync?.state).toBe("sent");
  expect(source?.sync?.problems).toHaveLength(1);
  expect(await nextBatch()).toEqual([]);
});

test("own tests prevent it until they are withdrawn", async () => {
  const id = await addSource(entry(), false, NOW);
  const { id: test } = await saveTest(keeping(id, {}, false), NOW);
  expect(await obstacleTo(id)).toBe("own_tests");
  expect(await retractSource(id)).toBe("own_tests");
  expect(await readSource(id)).toBeDefined();
  await retractTest(test);
  expect(await obstacleTo(id)).toBeNull();
});

test("other people's tests and the current draft prevent it", async () => {
  const id = await sentSource();
  await saveDraft({ ...newDraft(DEFAULTS, NOW), source: id });
  expect(await retractSource(id)).toBe("sheet");
  await applyPage([pulledTest(1, id)], { server: "", cursor: "a.1" }, true);
  expect(await retractSource(id)).toBe("others");
});
