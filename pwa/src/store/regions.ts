/** The counted tests of a region, as they came with pulls, and the names of regions. */

import type { RegionTest } from "../model/region-months";
import { standsFor } from "./merges";
import { run } from "./open";
import { readOutline } from "./outlines";
import { noonOf } from "./readings";
import { readFact } from "./settings";

/** From the pump only, like the figures of sources. */
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
        source: await standsFor(reading.objectStore("merged"), source),
        visit,
        expanded_uncertainty,
      });
    }
    return tests;
  });
}

/** The region's name; its code where no name was learned. */
export async function readRegionName(code: string): Promise<string> {
  return (await readOutline(code))?.name ?? (await readFact("regions"))?.[code] ?? code;
}
