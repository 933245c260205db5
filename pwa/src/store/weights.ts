/**
 * How much each contributor counts in a region, according to the server: weight is earned there over weeks. The
 * person's own tests have full weight on the person's own phone.
 */

import { ESTABLISHED, type Visit } from "../statistics/visits";
import { announce } from "./changes";
import type { Identity, Weights } from "./facts";
import { write } from "./open";
import { marked } from "./stale";

/** The weight of anybody the server does not name; the same as in the server's statistics/influence.py. */
const STRANGER = 0.02;

/** The store `settings`, in a read or a write transaction. */
interface SettingsStore {
  get(name: "weights" | "identity"): Promise<unknown>;
}

/** A contributor's weight in a region; 1 for all if the server has not sent any yet. */
export async function weightsAt(settings: SettingsStore, region: string | null): Promise<(who: string) => number> {
  const [stored, identity] = await Promise.all([settings.get("weights"), settings.get("identity")]);
  const known = (stored as Weights | undefined)?.[region ?? ""];
  const self = (identity as Identity | undefined)?.contributor;
  return (who) => (known === undefined || who === self ? 1 : (known[who] ?? STRANGER));
}

/** Readings at a source with their contributors' weights in its region. */
export async function weighed(settings: SettingsStore, region: string | null, readings: Visit[]): Promise<Visit[]> {
  const weight = await weightsAt(settings, region);
  return readings.map((one) => ({ ...one, weight: weight(one.contributor) }));
}

/** Whether a contributor with this weight is established. */
export function isEstablished(weight: number): boolean {
  return weight >= ESTABLISHED;
}

/** Saves the server's weights, and marks the sources of regions where they changed as stale. */
export async function saveWeights(weights: Weights): Promise<void> {
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
