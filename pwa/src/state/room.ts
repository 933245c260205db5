/** How much of the phone's room is taken. */

import { nearlyFull } from "./signals";

/** Share of the quota from which on the person is told. */
const NEARLY = 0.85;

/** Bytes. */
export interface Room {
  usage: number;
  quota: number;
}

/** Measures it, and tells the person when it is nearly full; null where the browser does not say. */
export async function measureRoom(storage: StorageManager | undefined): Promise<Room | null> {
  if (storage?.estimate === undefined) return null;
  const { usage = 0, quota = 0 } = await storage.estimate();
  nearlyFull.value = quota > 0 && usage / quota >= NEARLY;
  return { usage, quota };
}
