import type { CanRow } from "@/rows/can";
import type { FillRow } from "@/rows/fill";
import type { VehicleRow } from "@/rows/vehicle";
import { inUse, newVehicle } from "@/rows/vehicle";
import { listCans, saveCan } from "@/store/cans";
import { dropFill, dropVehicle, listFills, putFill, restoreVehicle, saveFill, undoFill } from "@/store/fills";
import { loadSettings, saveSettings } from "@/store/settings";
import { loadVehicles, putInUse, saveVehicle } from "@/store/vehicles";
import { NOW } from "../helpers/examples";

const at = NOW.toISOString();
const known = { content: 80, expanded_uncertainty: 2 };
const blue: VehicleRow = {
  ...{ ...newVehicle("blue"), name: "Blue hatchback", minimum: 80 },
  ...{ capacity: 60, volume: 40, ...known, changed_at: at },
};
const van: VehicleRow = { ...newVehicle("van"), name: "Van", sensor: false, minimum: 60 };
const can: CanRow = {
  ...{ id: "c", name: "Red can", capacity: 20, volume: 18, ...known, source: null, test: null },
  ...{ tested_at: null, filled_at: at, opened_humid_at: null, retest_days: 14, emptied_at: null },
};

const fill: FillRow = {
  ...{ id: "f1", vehicle: "blue", filled_at: at, sensed: 74, note: "" },
  added: [{ volume: 10, ...known, source: null, name: "Red can", from: "typed", test: null, water: null }],
  before: { volume: 30, content: 60, expanded_uncertainty: 4 },
  after: { volume: 40, content: 65, expanded_uncertainty: 3 },
};

test("a fill-up changes tank, history and can together or not at all, and can be undone", async () => {
  await saveCan(can);
  const broken = { ...can, id: undefined as unknown as string };
  await expect(saveFill(fill, blue, [broken])).rejects.toThrow();
  expect((await loadVehicles()).rows).toEqual([]);
  expect(await listFills("blue")).toEqual([]);
  await saveFill(fill, blue, [{ ...can, volume: 8 }]);
  expect((await loadVehicles()).rows).toEqual([blue]);
  expect(await listFills("blue")).toEqual([fill]);
  expect((await listCans()).map((one) => one.volume)).toEqual([8]);
  await undoFill(fill, blue, [can], true);
  expect(await loadVehicles()).toEqual({ in_use: null, rows: [] });
  expect(await listFills("blue")).toEqual([]);
  expect(await listCans()).toEqual([can]);
});

test("each vehicle has its own fill-ups, oldest first", async () => {
  const [before, other] = [
    { ...fill, id: "f2", filled_at: "2020-01-01T00:00:00Z" },
    { ...fill, id: "f3", vehicle: "van" },
  ];
  for (const one of [fill, before, other]) await putFill(one);
  expect((await listFills("blue")).map((one) => one.id)).toEqual(["f2", "f1"]);
  await dropFill("f2");
  expect(await listFills("blue")).toEqual([fill]);
});

test("the minimum is read from and set for the vehicle in use", async () => {
  await saveVehicle(blue);
  await saveVehicle(van);
  expect((await loadSettings()).own_minimum).toBe(60);
  await putInUse("blue");
  await saveSettings({ own_minimum: 75, share: true });
  expect((await loadVehicles()).rows.map((row) => row.minimum)).toEqual([75, 60]);
  await putInUse("van");
  expect(await loadSettings()).toMatchObject({ own_minimum: 60, share: true });
});

test("setting a minimum without a vehicle creates exactly one", async () => {
  await saveSettings({ own_minimum: 70 });
  await saveSettings({ own_minimum: 72 });
  expect((await loadVehicles()).rows).toMatchObject([{ name: "", minimum: 72, volume: null }]);
});

test("a removed vehicle is restored with its fill-ups and its in-use state", async () => {
  await saveVehicle(blue);
  await saveVehicle(van);
  await putFill({ ...fill, vehicle: "van" });
  const gone = await dropVehicle("van");
  expect(inUse(await loadVehicles())?.id).toBe("blue");
  expect(await listFills("van")).toEqual([]);
  await restoreVehicle(van, gone, true);
  expect(inUse(await loadVehicles())).toEqual(van);
  expect((await loadVehicles()).rows).toHaveLength(2);
  expect(await listFills("van")).toEqual([{ ...fill, vehicle: "van" }]);
});
