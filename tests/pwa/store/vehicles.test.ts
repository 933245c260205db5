import { listCans, saveCan } from "@/store/cans";
import type { CanRow, VehicleRow } from "@/store/schema";
import { loadSettings, saveSettings } from "@/store/settings";
import { inUse, newVehicle } from "@/store/vehicle-row";
import { dropVehicle, loadVehicles, putInUse, restoreVehicle, saveAdded, saveVehicle } from "@/store/vehicles";
import { NOW } from "../invented";

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

test("what was added is in the tank and gone from the can, or neither", async () => {
  await saveCan(can);
  const broken = { ...can, id: undefined as unknown as string };
  await expect(saveAdded(blue, [broken])).rejects.toThrow();
  expect((await loadVehicles()).rows).toEqual([]);
  await saveAdded(blue, [{ ...can, volume: 8 }]);
  expect((await loadVehicles()).rows).toEqual([blue]);
  expect((await listCans()).map((one) => one.volume)).toEqual([8]);
});

test("the minimum is that of the vehicle in use, and is set for this one", async () => {
  await saveVehicle(blue);
  await saveVehicle(van);
  expect((await loadSettings()).own_minimum).toBe(60);
  await putInUse("blue");
  await saveSettings({ own_minimum: 75, share: true });
  expect((await loadVehicles()).rows.map((row) => row.minimum)).toEqual([75, 60]);
  await putInUse("van");
  expect(await loadSettings()).toMatchObject({ own_minimum: 60, share: true });
});

test("a minimum without a vehicle makes one, and only one", async () => {
  await saveSettings({ own_minimum: 70 });
  await saveSettings({ own_minimum: 72 });
  expect((await loadVehicles()).rows).toMatchObject([{ name: "", minimum: 72, volume: null }]);
});

test("a vehicle that was taken out comes back, and is in use again if it was", async () => {
  await saveVehicle(blue);
  await saveVehicle(van);
  const before = await loadVehicles();
  await dropVehicle("van");
  expect(inUse(await loadVehicles())?.id).toBe("blue");
  await restoreVehicle(van, before);
  expect(inUse(await loadVehicles())).toEqual(van);
  expect((await loadVehicles()).rows).toHaveLength(2);
});
