import type { SourceRow } from "@/rows/source";
import { problemSentence } from "@/screens/shared/problem-sentence";
import { remarksOn } from "@/screens/shared/source/remarks";
import { applyPage } from "@/store/cursor";
import { listFigures } from "@/store/figure-rows";
import { nextBatch, settle } from "@/store/outbox";
import { queueResend } from "@/store/resend";
import { addSource, editSource, readSource } from "@/store/sources";
import { entry, NOW, pulledSource, stored } from "../helpers/examples";

const CURSOR = { server: "", cursor: "a.1" };
const SENTENCE = "Others have tested here, so your change waits until a moderator confirms it.";
const waits = { code: "change_waits", field: "", value: "", limit: "", sentence: SENTENCE };

/** A source that others tested, whose new name waits for review; with the server's real answers. */
async function waiting(): Promise<{ id: string; row: SourceRow }> {
  const id = await addSource(entry(), true, NOW);
  await settle(await nextBatch(), [stored((await nextBatch())[0] as never)], NOW);
  await editSource(id, { name: "Another name" });
  const batch = await nextBatch();
  await settle(
    batch,
    batch.map((one) => ({ ...stored(one), status: "held", problems: [waits] })),
    NOW,
  );
  return { id, row: await rowOf(id) };
}

async function rowOf(id: string): Promise<SourceRow> {
  return (await readSource(id))?.source as SourceRow;
}

/** The source as the server returns it, from the person's other phone or this one. */
function given(id: string, revision: number, name: string, flags: string[] = []) {
  const change = pulledSource(1, { name });
  const record = change.record && { ...change.record, id, revision };
  return { ...change, id, revision, flags, record };
}

const codes = (row: SourceRow) => remarksOn(row).map((problem) => problem.code);

test("a waiting change is not sent again and is marked", async () => {
  const { id, row } = await waiting();
  expect(row).toMatchObject({ name: "Another name", revision: 2, sync: { state: "held", revision: 2 } });
  expect(await nextBatch()).toEqual([]);
  expect(codes(row)).toEqual(["change_waits"]);
  expect(problemSentence(waits)).toMatch(/^Others have tested here, so your change waits/);
  // The pull brings the old source: the phone keeps its change and still does not resend it.
  await applyPage([given(id, 1, entry().name, ["change_waits"])], CURSOR, false);
  await applyPage([given(id, 1, entry().name, ["change_waits"])], CURSOR, true);
  expect(await rowOf(id)).toMatchObject({ name: "Another name", revision: 2, sync: { state: "held" } });
  expect(await nextBatch()).toEqual([]);
});

test("a confirmed change is sent like any other", async () => {
  const { id } = await waiting();
  await applyPage([given(id, 2, "Another name")], CURSOR, true);
  const row = await rowOf(id);
  expect(row).toMatchObject({ name: "Another name", revision: 2, sync: { state: "sent", problems: [] } });
  expect(codes(row)).toEqual([]);
});

test("a refused change gives way to the server's source, and the next change has a later revision", async () => {
  const { id } = await waiting();
  await applyPage([given(id, 1, "As it was", ["change_refused"])], CURSOR, true);
  const row = await rowOf(id);
  expect(row).toMatchObject({ name: "As it was", revision: 3, own: true, sync: { state: "sent" } });
  expect(codes(row)).toEqual(["change_refused"]);
  await applyPage([given(id, 1, "As it was", ["change_refused"])], CURSOR, true);
  expect((await rowOf(id)).revision).toBe(3);
  await editSource(id, { notes: "Open at night." });
  expect((await nextBatch()).map((one) => [one.id, one.revision])).toEqual([[id, 4]]);
  expect((await listFigures()).find((line) => line.source === id)?.name).toBe("As it was");
});

test("editing a waiting change sends it", async () => {
  const { id } = await waiting();
  await editSource(id, { name: "A third name" });
  expect((await nextBatch()).map((one) => one.revision)).toEqual([3]);
  await applyPage([given(id, 1, "As it was", ["change_refused"])], CURSOR, true);
  expect(await rowOf(id)).toMatchObject({ name: "A third name", revision: 3, sync: { state: "waiting" } });
});

test("another phone of the same person learns that a change waits", async () => {
  const id = await addSource(entry(), true, NOW);
  await settle(await nextBatch(), [stored((await nextBatch())[0] as never)], NOW);
  await applyPage([given(id, 1, entry().name, ["change_waits"])], CURSOR, true);
  expect(codes(await rowOf(id))).toEqual(["change_waits"]);
  await applyPage([given(id, 2, "Confirmed")], CURSOR, true);
  expect(codes(await rowOf(id))).toEqual([]);
});

test("a withheld source is marked until it is released", async () => {
  const id = await addSource(entry(), true, NOW);
  await settle(await nextBatch(), [stored((await nextBatch())[0] as never)], NOW);
  const out = { ...given(id, 1, "", ["all_withheld"]), record: null, state: "withheld" as const };
  await applyPage([out], CURSOR, true);
  expect(codes(await rowOf(id))).toEqual(["all_withheld"]);
  await applyPage([given(id, 1, entry().name)], CURSOR, true);
  expect(codes(await rowOf(id))).toEqual([]);
  expect((await rowOf(id)).sync?.state).toBe("sent");
});

test("after a server restore the waiting change is sent once more", async () => {
  const { id } = await waiting();
  await queueResend();
  expect((await nextBatch()).map((one) => [one.id, one.revision])).toEqual([[id, 2]]);
});
