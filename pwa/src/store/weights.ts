/**
 * How much each contributor counts in a region, as the server says: influence is earned there over weeks. One's own tests
 * count in full on one's own phone.
 */

import { ESTABLISHED, type Visit } from "../statistics/visits";
import { announce } from "./changes";
import type { Identity, Weights } from "./facts";
import { write } from "./open";
import { marked } from "./stale";

/** Whoever the server does not name; the same as in the server's statistics/influence.py. */
const STRANGER = 0.02;

/** The store `settings`, of a reading or a writing transaction. */
interface SettingsStore {
  get(name: "weights" | "identity"): Promise<unknown>;
}

/** How much somebody counts in a region; 1 for all where the server has said nothing yet. */
export async function weightsAt(settings: SettingsStore, region: string | null): Promise<(who: string) => number> {
  const [told, identity] = await Promise.all([settings.get("weights"), settings.get("identity")]);
  const known = (told as Weights | undefined)?.[region ?? ""];
  const self = (identity as Identity | undefined)?.contributor;
  return (who) => (known === undefined || who === self ? 1 : (known[who] ?? STRANGER));
}

/** Readings at a source of a region as they count there. */
export async function weighed(settings: SettingsStore, region: string | null, readings: Visit[]): Promise<Visit[]> {
  const weight = await weightsAt(settings, region);
  return readings.map((one) => ({ ...one, weight: weight(one.contributor) }));
}

/** Whether somebody with this weight is known well enough to be weighed. */
export function isEstablished(weight: number): boolean {
  return weight >= ESTABLISHED;
}

/** Keeps what the server says, and marks the sources of the regions where it says something else than before. */
export async function keepWeights(weights: Weights): Promise<void> {
  let moved = 0;
  await write(["settings", "figures"], async (writing) => {
    const settings = writing.objectStore("settings");
    const before = ((await settings.get("weights")) ?? {}) as Weights;
    const changed = (region: string) => JSON.stringify(before[region]) !== JSON.stringify(weights[region]);
    await settings.put(weights, "weights");
    const figures = writing.objectStore("figures");
    for (const row of await figures.getAll()) {
      if (row.region === null || !changed(row.region)) continue;
      await figures.put({ ...row, ...marked(row) });
      moved += 1;
    }
  });
  if (moved > 0) announce("figures");
}
