/** Fetches how much contributors count in this phone's regions; a failure does not matter. */

import type { Contributors } from "../records";
import { settings } from "../state/signals";
import { saveWeights } from "../store/weights";
import { type Client, Trouble } from "./client";

export async function learnWeights(client: Client): Promise<void> {
  const { regions } = settings.value;
  const query = regions.length > 0 ? `?region=${regions.join(",")}` : "";
  try {
    const { contributors } = await client.json<Contributors>({ path: `/api/v1/contributors${query}` });
    if (!Array.isArray(contributors)) return;
    const weights: Record<string, Record<string, number>> = {};
    for (const { region, contributor, weight } of contributors) {
      weights[region] = { ...weights[region], [contributor]: weight };
    }
    await saveWeights(weights);
  } catch (fault) {
    // A server of an earlier version does not have this endpoint.
    if (!(fault instanceof Trouble)) throw fault;
  }
}
