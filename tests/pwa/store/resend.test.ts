import type { Answer } from "@/records";
import type { OutboxEntry } from "@/rows/test";
import { run } from "@/store/open";
import { countUnsent, nextBatch, settle } from "@/store/outbox";
import { queueResend } from "@/store/resend";
import { retractSource } from "@/store/retract-source";
import { addSource } from "@/store/sources";
import { readTest, retractTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, refused, stored } from "../helpers/examples";

async function answered(answer: (entry: OutboxEntry) => Answer = stored) {
  const batch = await nextBatch();
  await settle(batch, batch.map(answer), NOW);
  return batch;
}

test("sent tests are queued again unchanged, after their source", async () => {
  const source = await addSource(entry(), true, NOW);
  await saveTest(keeping(source), NOW);
  await saveTest(keeping(source), new Date(NOW.getTime() + 1));
  const before = await answered();
  expect((await countUnsent()).unsent).toBe(0);
  await queueResend();
  const again = await nextBatch();
  expect(again.map((one) => one.record)).toEqual(before.map((one) => one.record));
  await answered((one) => ({ ...stored(one), status: "known" }));
  expect((await countUnsent()).unsent).toBe(0);
});

test("a withdrawn test is withdrawn again", async () => {
  const source = await addSource(entry(), true, NOW);
  const { id } = await saveTest(keeping(source), NOW);
  await answered();
  await retractTest(id);
  await answered();
  await queueResend();
  const records = (await nextBatch()).map((one) => one.record);
  expect(records).toContainEqual({ kind: "test", id, revision: 2, retracted: true });
  expect(records.filter((one) => one.id === id)).toHaveLength(1);
});

test("private tests stay private, and refused ones stay parked", async () => {
  const source = await addSource(entry(), true, NOW);
  const hidden = await saveTest(keeping(source, {}, false), NOW);
  const bad = await saveTest(keeping(source), NOW);
  await answered((one) => (one.kind === "test" ? refused(one) : stored(one)));
  await queueResend();
  expect((await nextBatch()).map((one) => one.id)).toEqual([source]);
  expect((await readTest(hidden.id))?.sync.state).toBe("private");
  expect((await readTest(bad.id))?.sync.state).toBe("refused");
  expect((await run((base) => base.getAll("outbox"))).filter((one) => one.parked === 1)).toHaveLength(1);
});

test("a withdrawn source is withdrawn again until the server says that others need it", async () => {
  const source = await addSource(entry(), true, NOW);
  await answered();
  await retractSource(source);
  await answered();
  for (const round of [1, 2]) {
    await queueResend();
    const records = (await answered()).map((one) => one.record);
    expect(records, `round ${round}`).toEqual([{ kind: "source", id: source, revision: 2, retracted: true }]);
  }
  await queueResend();
  await answered(refused);
  await queueResend();
  expect(await nextBatch()).toEqual([]);
});
