import { computeHere } from "@/compute";
import type { CanRow } from "@/rows/can";
import { listCans, saveCan } from "@/store/cans";
import { noteClock } from "@/store/clock";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { nextBatch, settle } from "@/store/outbox";
import { listPlans, savePlan } from "@/store/plans";
import { readFact } from "@/store/settings";
import { addSource, readSource } from "@/store/sources";
import { readTest, retractTest, saveTest } from "@/store/tests";
import { correctTimes } from "@/store/times";
import { entry, keeping, NOW, refused, stored } from "../helpers/examples";

const YEAR = 365 * 86_400_000;
const RIGHT = { sampled_at: "2026-03-12T13:30:00+01:00", tested_at: "2026-03-12T14:00:00+01:00" };
const BEHIND = { sampled_at: "2025-03-12T13:30:00+01:00", tested_at: "2025-03-12T14:00:00+01:00" };
const AHEAD = { sampled_at: "2028-03-12T13:30:00+01:00", tested_at: "2028-03-12T14:00:00+01:00" };

async function sent() {
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
}

describe("tests saved under a wrong clock", () => {
  test("are marked with the clock's error once a server has given the time, shared or not", async () => {
    const source = await addSource(entry(), true, NOW);
    const shared = await saveTest(keeping(source, BEHIND), NOW);
    const own = await saveTest(keeping(source, BEHIND, false), NOW);
    await noteClock(YEAR, NOW);
    expect(await readFact("clock")).toEqual({ behind: YEAR, checked_at: NOW.toISOString() });
    const later = await saveTest(keeping(source), NOW);
    await noteClock(400, NOW);
    const marks = await Promise.all([shared, own, later].map(async ({ id }) => (await readTest(id))?.clock_behind));
    expect(marks).toEqual([YEAR, YEAR, undefined]);
  });

  test("are tracked up to two hundred", async () => {
    const source = await addSource(entry(), false, NOW);
    for (let at = 0; at < 203; at += 1) await saveTest(keeping(source, {}, false), NOW);
    expect(await readFact("unchecked")).toHaveLength(200);
  });
});

describe("correcting the times of a test", () => {
  test("creates and sends a new revision, and updates plan, can and figures", async () => {
    const source = await addSource(entry(), true, NOW);
    const { id } = await saveTest(keeping(source, BEHIND), NOW);
    await noteClock(YEAR, NOW);
    await sent();
    const can = { id: "can", name: "red", test: id, tested_at: BEHIND.sampled_at, emptied_at: null } as CanRow;
    await saveCan(can);
    await savePlan({ source, first_day: "2026-03-09", weeks: 4, made_at: "2026-03-09T08:00:00Z" });
    await refreshFigures(NOW, computeHere);
    const day = async () => (await listFigures())[0]?.figures?.last_sampled_at.slice(0, 10);
    const states = async () => (await listPlans(NOW))[0]?.visits.map((visit) => visit.state);
    expect(await day()).toBe("2025-03-12");
    expect((await states())?.[0]).not.toBe("done");

    await correctTimes(id, RIGHT);

    const row = await readTest(id);
    expect(row?.test).toMatchObject({ ...RIGHT, revision: 2 });
    expect(row?.earlier).toMatchObject([{ ...BEHIND, revision: 1 }]);
    expect(row).toMatchObject({ tested_at: RIGHT.tested_at, clock_behind: null, sync: { state: "waiting" } });
    expect((await nextBatch()).map(({ record }) => record)).toMatchObject([{ id, revision: 2, ...RIGHT }]);
    expect((await listCans())[0]?.tested_at).toBe(RIGHT.sampled_at);
    await refreshFigures(NOW, computeHere);
    expect(await day()).toBe("2026-03-12");
    expect((await states())?.[0]).toBe("done");
  });

  test("of a test refused along with its source resends both", async () => {
    const source = await addSource(entry(), true, new Date(AHEAD.sampled_at));
    const { id } = await saveTest(keeping(source, AHEAD), NOW);
    const batch = await nextBatch();
    await settle(batch, batch.map(refused), NOW);
    expect(await nextBatch()).toEqual([]);

    await correctTimes(id, RIGHT);

    const records = (await nextBatch()).map((one) => one.record);
    expect(records).toMatchObject([
      { kind: "source", id: source, revision: 1, recorded_at: RIGHT.tested_at },
      { kind: "test", id, revision: 2, ...RIGHT },
    ]);
    expect((await readSource(source))?.source.sync?.state).toBe("waiting");
  });

  test("leaves a source the server has alone", async () => {
    const source = await addSource(entry(), true, NOW);
    const { id } = await saveTest(keeping(source, BEHIND), NOW);
    await sent();
    await correctTimes(id, RIGHT);
    expect((await nextBatch()).map(({ kind }) => kind)).toEqual(["test"]);
  });

  test("to the same values changes nothing and restores no withdrawn test", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source, BEHIND), NOW);
    await correctTimes(kept.id, BEHIND);
    expect(await readTest(kept.id)).toEqual(kept);
    await retractTest(kept.id);
    await correctTimes(kept.id, RIGHT);
    expect((await readTest(kept.id))?.test).toEqual(kept.test);
  });
});
