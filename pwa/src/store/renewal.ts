/** Whether the tests on this phone are computed with the newest model of the tube; if not, once, they are. */

import { MODEL } from "../chemistry/measurement";
import type { Compute } from "../compute";
import type { Recomputation } from "./facts";
import { changeFact, readFact } from "./settings";

/** The computing is loaded only when there is something to do. */
export async function renewOnce(now: Date, compute: Compute): Promise<void> {
  if ((await readFact("model"))?.version === MODEL) return;
  const { renewTests } = await import("./recompute");
  await renewTests(now, compute);
}

/** What a new model changed, until somebody has read it. */
export async function readMoved(): Promise<Recomputation | null> {
  const moved = (await readFact("model"))?.moved ?? null;
  return moved?.changed ? moved : null;
}

export function markMovedRead(): Promise<void> {
  return changeFact("model", (old) => ({ version: old?.version ?? MODEL, moved: null }));
}
