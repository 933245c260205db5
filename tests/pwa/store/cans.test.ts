import { listCans, loadTank, saveAdded, saveCan } from "@/store/cans";
import type { CanRow, Tank } from "@/store/schema";
import { NOW } from "../invented";

const at = NOW.toISOString();
const known = { content: 80, expanded_uncertainty: 2 };
const tank: Tank = { capacity: 60, volume: 40, ...known, changed_at: at };
const can: CanRow = {
  ...{ id: "c", name: "Red can", capacity: 20, volume: 18, ...known, source: null, test: null },
  ...{ tested_at: null, filled_at: at, opened_humid_at: null, retest_days: 14, emptied_at: null },
};

test("what was added is in the tank and gone from the can, or neither", async () => {
  await saveCan(can);
  const broken = { ...can, id: undefined as unknown as string };
  await expect(saveAdded(tank, [broken])).rejects.toThrow();
  expect(await loadTank()).toBeUndefined();
  await saveAdded(tank, [{ ...can, volume: 8 }]);
  expect(await loadTank()).toEqual(tank);
  expect((await listCans()).map((one) => one.volume)).toEqual([8]);
});
