import { openDB } from "idb";
import { computeHere } from "@/compute";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { DATABASE, run } from "@/store/open";
import { waitingNote } from "@/store/outbox";
import { loadSettings } from "@/store/settings";
import { STEPS } from "@/store/steps";
import { readTest } from "@/store/tests";
import { readTube } from "@/store/tubes";
import { loadVehicles } from "@/store/vehicles";
import { NOW, pulledSource, pulledTest, sealed, tubeRow } from "../helpers/examples";

/** A phone of the previous version, with a source, an own test and one by somebody else. */
async function versionBefore(version: number) {
  const base = await openDB(DATABASE, version, {
    upgrade: (opened, _from, _to, transaction) => {
      for (const step of STEPS.slice(0, version)) step(opened as never, transaction as never);
    },
  });
  const { record: source } = pulledSource(1);
  const test = sealed(source.id);
  const other = pulledTest(2, source.id, { content: 85 });
  const place = { ...source, own: false, region: "FR-63", contributor: null, sync: null };
  await base.put("sources", place);
  const sync = waitingNote("private");
  await base.put("own_tests", {
    ...{ id: test.id, source: source.id, tested_at: test.tested_at, test, earlier: [], shared: false },
    ...{ own_uncertainty: 0.8, shared_uncertainty: 0.4, retracted: false, kept_at: NOW.toISOString(), sync },
    ...{ server_content: null, server_uncertainty: null },
  });
  const { contributor, region, received_at, figures, flags } = other;
  const row = { contributor, region, received_at, figures, flags, revision: 1 };
  await base.put("pulled_tests", { ...row, id: other.id, source: source.id, test: other.record });
  const { name, pump, latitude, longitude } = source;
  const line = { source: source.id, name, pump, latitude, longitude, region: "FR-63", own: false };
  await base.put("figures", { ...line, figures: null, computed_at: NOW.toISOString(), stale: 1 });
  base.close();
  return { source: source.id, test };
}

test("tests from the previous version are found by source and time", async () => {
  const { source, test } = await versionBefore(5);
  expect((await readTest(test.id))?.test).toEqual(test);
  for (const place of ["own_tests", "pulled_tests"] as const) {
    const range = IDBKeyRange.bound([source, "2026-03-01"], [source, []]);
    expect(await run((base) => base.countFromIndex(place, "by_time", range))).toBe(1);
  }
  await refreshFigures(NOW, computeHere);
  const [line] = await listFigures();
  expect(line?.figures).toMatchObject({ tests: 2, contributors: 2 });
  expect(line).toMatchObject({ stale: 0 });
});

test("tubes from the previous version get the new field", async () => {
  const { offset_content: _, ...before } = tubeRow({ offset: 1.2, offset_uncertainty: 0.8 });
  const base = await openDB(DATABASE, 6, {
    upgrade: (opened, _from, _to, transaction) => {
      for (const step of STEPS.slice(0, 6)) step(opened as never, transaction as never);
    },
  });
  await base.put("tubes", before);
  base.close();
  expect(await readTube(before.id)).toEqual({ ...before, offset_content: null });
});

test("figures from the previous version are recomputed", async () => {
  const { source } = await versionBefore(6);
  const old = await openDB(DATABASE, 6);
  const row = await old.get("figures", source);
  await old.put("figures", { ...row, stale: 0, figures: { typical: 70, tests: 1, typical_interval: [68, 72] } });
  old.close();
  const [before] = await listFigures();
  expect(before).toMatchObject({ stale: 1, mark: 1, figures: { typical: 70 } });
  await refreshFigures(NOW, computeHere);
  const [after] = await listFigures();
  expect(after?.figures).toMatchObject({ tests: 2, wrong: [], season_uncertainty: expect.any(Number) });
});

test("the tank and minimum of the previous version become the first vehicle", async () => {
  await versionBefore(10);
  const tank = { capacity: 60, volume: 22, content: 41.5, expanded_uncertainty: 2.1, changed_at: NOW.toISOString() };
  const before = await openDB(DATABASE, 10);
  await before.put("settings", tank, "tank");
  await before.put("settings", { own_minimum: 80, share: true }, "settings");
  before.close();
  const vehicles = await loadVehicles();
  expect(vehicles.rows).toEqual([{ id: vehicles.in_use, name: "", sensor: true, minimum: 80, ...tank }]);
  expect(await loadSettings()).toMatchObject({ own_minimum: 80, share: true });
  expect(await run((base) => base.get("settings", "tank"))).toBeUndefined();
});

test("without tank or minimum there is no vehicle after the upgrade", async () => {
  await versionBefore(10);
  expect(await loadVehicles()).toEqual({ in_use: null, rows: [] });
  expect((await loadSettings()).own_minimum).toBeNull();
});
