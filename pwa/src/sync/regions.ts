/** Fetches from the server which regions have sources, and their names. */

import type { RegionEntries } from "../records";
import { settings } from "../state/signals";
import { changeFact } from "../store/settings";
import { Client, Trouble } from "./client";

/** Adds the server's regions to the known ones. Without an answer nothing changes; never throws for that. */
export async function learnRegions(): Promise<void> {
  try {
    const found = await new Client(settings.value.server).json<RegionEntries>({ path: "/api/v1/regions" });
    if (!Array.isArray(found.regions)) return;
    const named = Object.fromEntries(found.regions.map((region) => [region.code, region.name]));
    await changeFact("regions", (old) => ({ ...old, ...named }));
  } catch (fault) {
    if (!(fault instanceof Trouble)) throw fault;
  }
}
