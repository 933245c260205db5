/** Checks whether the tests on this phone are computed with the newest tube model, and recomputes them once if not. */

import { MODEL } from "../chemistry/measurement";
import type { Compute } from "../compute";
import type { Recomputation } from "./facts";
import { changeFact, readFact } from "./settings";

/** The recomputation is loaded only if it is needed. */
export async function renewOnce(now: Date, compute: Compute): Promise<void> {
  if ((await readFact("model"))?.version === MODEL) return;
  const { renewTests } = await import("./recompute");
  await renewTests(now, compute);
}

/** What a new model changed, until the person has read it. */
export async function readMoved(): Promise<Recomputation | null> {
  const moved = (await readFact("model"))?.moved ?? null;
  return moved?.changed ? moved : null;
}

export function markMovedRead(): Promise<void> {
  return changeFact("model", (old) => ({ version: old?.version ?? MODEL, moved: null }));
}
