import { writePlan } from "@/files/plan-file";
import { dayOf, firstVisit, isDay, isSoon, laterDay, longerBy, nextVisit, visitsOf, weekdayOf } from "@/model/plan";
import { applyPage } from "@/store/cursor";
import { dropPlan, listPlans, readPlan, savePlan } from "@/store/plans";
import { addSource } from "@/store/sources";
import { retractTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, pulledSource } from "../helpers/examples";

const plan = { first_day: "2026-03-02", weeks: 4 };
const made_at = NOW.toISOString();

test("days are counted over months, years and the change of the clocks", () => {
  expect(laterDay("2026-03-28", 7)).toBe("2026-04-04");
  expect(laterDay("2025-12-29", 7)).toBe("2026-01-05");
  expect(laterDay("2028-02-29", -1)).toBe("2028-02-28");
  // 16 March 2026 is a Monday.
  expect([weekdayOf("2026-03-16"), weekdayOf("2026-03-22")]).toEqual([1, 7]);
  expect(firstVisit("2026-03-12", 4)).toBe("2026-03-12");
  expect(firstVisit("2026-03-12", 3)).toBe("2026-03-18");
  expect([isDay("2026-02-29"), isDay("2028-02-29"), isDay(""), isDay("2026-13-01")]).toEqual([
    false,
    true,
    false,
    false,
  ]);
});

test("visits are done, missed, due or ahead", () => {
  const visits = visitsOf(plan, ["2026-03-05T10:00:00", "2026-03-06T10:00:00"], new Date("2026-03-19T10:00:00"));
  expect(visits.map(({ day, state }) => `${day} ${state}`)).toEqual([
    "2026-03-02 done",
    "2026-03-09 done",
    "2026-03-16 due",
    "2026-03-23 ahead",
  ]);
  expect(nextVisit(visits)?.day).toBe("2026-03-16");
  const late = visitsOf(plan, [], new Date("2026-03-20T10:00:00"));
  expect(late.map((visit) => visit.state)).toEqual(["missed", "missed", "missed", "ahead"]);
  expect(nextVisit(visitsOf(plan, [], new Date("2026-06-01T10:00:00")))).toBeNull();
});

test("one test counts for one visit only", () => {
  for (let k = 0; k < 40; k++) {
    const at = `${laterDay("2026-02-26", k)}T12:00:00`;
    const done = visitsOf(plan, [at], NOW).filter((visit) => visit.state === "done");
    expect(done.length, at).toBe(k >= 1 && k <= 28 ? 1 : 0);
  }
});

test("a visit is due soon in the week before it", () => {
  const [visit] = visitsOf(plan, [], new Date("2026-02-01T10:00:00"));
  expect(isSoon(visit as never, new Date("2026-02-24T10:00:00"))).toBe(true);
  expect(isSoon(visit as never, new Date("2026-02-23T10:00:00"))).toBe(false);
});

test("a plan can be extended to half a year", () => {
  const row = { ...plan, source: "s", made_at };
  expect(longerBy(row, 1)?.weeks).toBe(5);
  expect(longerBy({ ...row, weeks: 26 }, 1)).toBeNull();
});

test("own tests from the pump fulfil a plan, withdrawn ones and those from a can do not", async () => {
  const source = await addSource(entry(), false, NOW);
  await savePlan({ source, first_day: dayOf(NOW), weeks: 4, made_at });
  const states = async () => (await readPlan(source, NOW))?.visits.map((visit) => visit.state).join(" ");
  expect(await states()).toBe("due ahead ahead ahead");
  await saveTest(keeping(source, { sampled: "can" }, false), NOW);
  expect(await states()).toBe("due ahead ahead ahead");
  const kept = await saveTest(keeping(source, {}, false), NOW);
  expect(await states()).toBe("done ahead ahead ahead");
  await retractTest(kept.id);
  expect(await states()).toBe("due ahead ahead ahead");
  await dropPlan(source);
  expect(await listPlans(NOW)).toEqual([]);
});

test("a plan continues at the survivor of a merge", async () => {
  const one = pulledSource(1, { name: "Pas des Genets" });
  const other = pulledSource(2);
  await applyPage([one, other], { server: "", cursor: "a.2" }, true);
  await savePlan({ source: other.id, first_day: dayOf(NOW), weeks: 4, made_at });
  await applyPage([{ ...other, state: "merged", record: null, into: one.id }], { server: "", cursor: "a.3" }, false);
  expect((await listPlans(NOW))[0]).toMatchObject({ source: one.id, name: "Pas des Genets" });
  await saveTest(keeping(one.id, {}, false), NOW);
  expect((await readPlan(one.id, NOW))?.visits[0]?.state).toBe("done");
  await dropPlan(one.id);
  expect(await readPlan(one.id, NOW)).toBeUndefined();
});

test("reminders are written for upcoming visits", async () => {
  const source = await addSource(entry(), false, NOW);
  await savePlan({ source, first_day: dayOf(NOW), weeks: 3, made_at });
  await saveTest(keeping(source, {}, false), NOW);
  const page = await readPlan(source, NOW);
  const file = writePlan(page as never, NOW).replace(/\r\n /g, "");
  expect([...file.matchAll(/^DTSTART:(.*)\r$/gm)].map(([, at]) => at)).toEqual(["20260319T090000", "20260326T090000"]);
  expect(file).toContain("SUMMARY:Sample the fuel: Col du Frene\\, 3\r\n");
  expect(file).toContain(`UID:${source}-2026-03-19\r\n`);
});

test.each([
  ["08:59", "20260312T090000"],
  ["09:01", "20260313T090000"],
])("nobody is reminded in the past: a visit due since yesterday, at %s", async (time, starts) => {
  const now = new Date(`2026-03-12T${time}:00`);
  const source = await addSource(entry(), false, NOW);
  await savePlan({ source, first_day: "2026-03-11", weeks: 2, made_at });
  const file = writePlan((await readPlan(source, now)) as never, now).replace(/\r\n /g, "");
  expect([...file.matchAll(/^DTSTART:(.*)\r$/gm)].map(([, at]) => at)).toEqual([starts, "20260318T090000"]);
});
