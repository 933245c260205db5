/** Room for what is kept: once there is a test, the browser is asked not to clear it, and the quota is watched. */

import { measureRoom } from "../state/room";
import { onChange } from "../store/changes";
import { askToPersist } from "../store/keep";
import { readFact, writeFact } from "../store/settings";
import { countTests } from "../store/tests";

/** ms after the start: the first screen comes first. */
const LATER = 5000;

export function startQuota(): void {
  onChange((places) => {
    if (places.includes("own_tests") || places.includes("photos")) void look();
  });
  setTimeout(() => void look(), LATER);
}

async function look(): Promise<void> {
  if ((await countTests()) === 0) return;
  if ((await readFact("persistence")) !== "granted") {
    const granted = await askToPersist(navigator.storage);
    await writeFact("persistence", granted === true ? "granted" : "denied");
  }
  await measureRoom(navigator.storage);
}
