/** What the server knows about the person's own tubes; fetched now and then, and a failure does not matter. */

import type { OwnTubes } from "../records";
import { identity } from "../store/identity";
import { readFact, writeFact } from "../store/settings";
import type { Client } from "./client";
import { Trouble } from "./client";

/** ms: a region's priors change over days. */
const EVERY = 6 * 60 * 60_000;

export async function learnTubes(client: Client, now: Date): Promise<void> {
  const known = await readFact("tubes");
  // If the clock was set back, the time of the last request is in the future.
  const passed = now.getTime() - Date.parse(known?.asked_at ?? "");
  if (known?.server === client.origin && passed >= 0 && passed < EVERY) return;
  const { secret } = await identity();
  try {
    const { tubes } = await client.json<OwnTubes>({ path: "/api/v1/tubes", secret });
    if (!Array.isArray(tubes)) return;
    await writeFact("tubes", { server: client.origin, asked_at: now.toISOString(), tubes });
  } catch (fault) {
    // A server of an earlier version does not have this endpoint.
    if (!(fault instanceof Trouble)) throw fault;
  }
}
