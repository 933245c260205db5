import { measureStorage } from "@/state/room";
import { nearlyFull } from "@/state/signals";

test("the person hears of it before the quota is reached", async () => {
  const storage = (usage: number) => ({ estimate: async () => ({ usage, quota: 100 }) }) as StorageManager;
  await measureStorage(storage(84));
  expect(nearlyFull.value).toBe(false);
  await measureStorage(storage(85));
  expect(nearlyFull.value).toBe(true);
  expect(await measureStorage(undefined)).toBeNull();
});
