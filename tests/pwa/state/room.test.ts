import { measureRoom } from "@/state/room";
import { nearlyFull } from "@/state/signals";

test("the person hears of it before the quota is reached", async () => {
  const storage = (usage: number) => ({ estimate: async () => ({ usage, quota: 100 }) }) as StorageManager;
  await measureRoom(storage(84));
  expect(nearlyFull.value).toBe(false);
  await measureRoom(storage(85));
  expect(nearlyFull.value).toBe(true);
  expect(await measureRoom(undefined)).toBeNull();
});
