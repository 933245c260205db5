/** Storage: once there is a test, the browser is asked to keep it, and the quota is watched. */

import { measureStorage } from "../state/room";
import { onChange } from "../store/changes";
import { askToPersist } from "../store/keep";
import { readFact, writeFact } from "../store/settings";
import { countTests } from "../store/tests";

/** ms after the start, and after a change: what is on the screen comes first. */
const FIRST = 5000;
const SOON = 1000;

export function startQuota(): void {
  const checkIn = (wait: number) => setTimeout(() => void checkStorage(), wait);
  onChange((places) => {
    if (places.includes("own_tests") || places.includes("photos")) checkIn(SOON);
  });
  checkIn(FIRST);
}

async function checkStorage(): Promise<void> {
  if ((await countTests()) === 0) return;
  if ((await readFact("persistence")) !== "granted") {
    const granted = await askToPersist(navigator.storage);
    await writeFact("persistence", granted === true ? "granted" : "denied");
  }
  await measureStorage(navigator.storage);
}
