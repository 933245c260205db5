/** Which sources are starred. */

import type { Stars } from "../rows/star";
import { representativeOf } from "./merges";
import { run } from "./open";

/** The starred sources; for a merged one, the source that represents it. */
export function listStars(): Promise<ReadonlySet<string>> {
  return run(async (base) => {
    const reading = base.transaction(["settings", "merged"]);
    const merged = reading.objectStore("merged");
    const stars = await starsIn(reading.objectStore("settings"));
    return new Set(await Promise.all(Object.keys(stars).map((id) => representativeOf(merged, id))));
  });
}

export async function starsIn(facts: { get(name: string): Promise<unknown> }): Promise<Stars> {
  return ((await facts.get("stars")) as Stars | undefined) ?? {};
}
