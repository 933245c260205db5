/** How much of the phone's storage is used. */

import { nearlyFull } from "./signals";

/** Share of the quota at which the person is warned. */
const NEARLY = 0.85;

/** Bytes. */
export interface StorageUse {
  usage: number;
  quota: number;
}

/** Measures it, and sets the warning when it is nearly full; null if the browser does not report it. */
export async function measureStorage(storage: StorageManager | undefined): Promise<StorageUse | null> {
  if (storage?.estimate === undefined) return null;
  const { usage = 0, quota = 0 } = await storage.estimate();
  nearlyFull.value = quota > 0 && usage / quota >= NEARLY;
  return { usage, quota };
}
