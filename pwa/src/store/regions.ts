/** The counted tests of a region from pulls, and the names of regions. */

import type { RegionTest } from "../model/region-months";
import { representativeOf } from "./merges";
import { run } from "./open";
import { readOutline } from "./outlines";
import { noonOf } from "./readings";
import { readFact } from "./settings";

/** Only from the pump, like the figures of sources. */
export function listRegionTests(region: string): Promise<RegionTest[]> {
  return run(async (base) => {
    const reading = base.transaction(["pulled_tests", "merged"]);
    const rows = await reading.objectStore("pulled_tests").index("by_region").getAll(region);
    const tests: RegionTest[] = [];
    for (const { source, contributor, figures, test } of rows) {
      if (figures === null || test.sampled !== "pump") continue;
      const { content, expanded_uncertainty, own_uncertainty, shared_uncertainty } = figures;
      const sampled_at = noonOf(test.sampled_at);
      const visit = { sampled_at, content, own_uncertainty, shared_uncertainty, contributor };
      tests.push({
        source: await representativeOf(reading.objectStore("merged"), source),
        visit,
        expanded_uncertainty,
      });
    }
    return tests;
  });
}

/** The region's name, or its code if the name is unknown. */
export async function readRegionName(code: string): Promise<string> {
  return (await readOutline(code))?.name ?? (await readFact("regions"))?.[code] ?? code;
}
