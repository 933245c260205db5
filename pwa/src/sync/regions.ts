/** Learns the names of regions from the server: the phone itself knows their codes only. */

import { settings } from "../live";
import type { RegionEntries } from "../records";
import { readFact, writeFact } from "../store/settings";
import { Client, Trouble } from "./client";

/** Asks once for a region whose name is not known yet. Without an answer the code stays; never throws for that. */
export async function learnRegionName(code: string): Promise<void> {
  const known = (await readFact("regions")) ?? {};
  if (known[code] !== undefined) return;
  try {
    const found = await new Client(settings.value.server).json<RegionEntries>({ path: "/api/v1/regions" });
    if (!Array.isArray(found.regions)) return;
    const named = found.regions.map((region) => [region.code, region.name] as const);
    await writeFact("regions", { ...known, ...Object.fromEntries(named) });
  } catch (fault) {
    if (!(fault instanceof Trouble)) throw fault;
  }
}
