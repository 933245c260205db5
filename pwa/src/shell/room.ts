/** Room for what is kept: once there is a test, the browser is asked not to clear it, and the quota is watched. */

import { onChange } from "../store/changes";
import { askToPersist, measureRoom } from "../store/keep";
import { readFact, writeFact } from "../store/settings";
import { listTests } from "../store/tests";

export function startRoom(): void {
  onChange((places) => {
    if (places.includes("own_tests") || places.includes("photos")) void look();
  });
  void look();
}

async function look(): Promise<void> {
  const { total } = await listTests({ limit: 1 });
  if (total === 0) return;
  if ((await readFact("persistence")) !== "granted") {
    const granted = await askToPersist(navigator.storage);
    await writeFact("persistence", granted === true ? "granted" : "denied");
  }
  await measureRoom(navigator.storage);
}
