/** The priors of each region (season, usual scatter, tubes' offsets), learned from the tests on this phone. */

import { NORMAL } from "../chemistry/coverage";
import type { TubeOffset } from "../statistics/instrument_bias";
import type { Priors } from "../statistics/priors";
import type { Former, Learned } from "./facts";
import { readFact } from "./settings";

/** Sources that others have tested, too, before a tube is compared. */
const LEAST_SOURCES = 2;
/** Used when no time was recorded. */
const OLD = "1970-01-01T00:00:00Z";

/** The store `settings`, in a read or a write transaction. */
interface SettingsStore {
  get(name: "lessons"): Promise<unknown>;
}

/** The priors that apply to a source; null if there are none. */
export async function priorsAt(settings: SettingsStore, region: string | null): Promise<Priors | null> {
  const learned = (await settings.get("lessons")) as Learned | undefined;
  return current(learned?.[region ?? ""]?.lessons);
}

/** Priors in this version's form; null for those of an earlier version. */
export function current(priors: Priors | Former | undefined): Priors | null {
  return priors && "season" in priors ? priors : null;
}

/** One of this phone's tubes compared with other people's, in points: positive reads high; uncertainty at 95 %. */
export interface Comparison {
  offset: number;
  expanded_uncertainty: number;
  sources: number;
  verdict: "low" | "high" | "agrees";
  /** Who computed it: the newer of the two is shown. */
  by: "phone" | "server";
  /** Empty if an earlier version learned it. */
  learned_at: string;
}

/** A tube's offset compared with other tubes, by this phone or the server; null below two sources. */
export async function comparedToOthers(tube: string): Promise<Comparison | null> {
  const [identity, asked] = await Promise.all([readFact("identity"), readFact("tubes")]);
  const own = identity ? await offsetOf(identity.contributor, tube) : null;
  const theirs = mostSources((asked?.tubes ?? []).filter((one) => one.tube === tube));
  return newest([comparedBy(own, "phone"), comparedBy(theirs, "server")]);
}

function newest(found: (Comparison | null)[]): Comparison | null {
  const known = found.filter((one) => one !== null);
  return known.sort((a, b) => Date.parse(b.learned_at || OLD) - Date.parse(a.learned_at || OLD))[0] ?? null;
}

function comparedBy(found: (TubeOffset & { learned_at: string }) | null, by: Comparison["by"]): Comparison | null {
  if (found === null || found.sources < LEAST_SOURCES) return null;
  const { offset, sources, learned_at } = found;
  const expanded_uncertainty = NORMAL * found.uncertainty;
  const isOff = Math.abs(offset) > expanded_uncertainty;
  const verdict = isOff ? (offset < 0 ? "low" : "high") : "agrees";
  return { offset, expanded_uncertainty, sources, verdict, by, learned_at };
}

/** Of several regions, the one with the most sources. */
function mostSources<Found extends TubeOffset>(found: Found[]): Found | null {
  return found.sort((a, b) => b.sources - a.sources)[0] ?? null;
}

/** What a contributor's tube reads too high or too low, if others have tested at the same sources. */
export async function offsetOf(
  contributor: string,
  tube: string,
): Promise<(TubeOffset & { learned_at: string }) | null> {
  const learned = (await readFact("lessons")) ?? {};
  const found = Object.values(learned).flatMap(({ lessons: priors, learned_at = "" }) => {
    const offset = priors.offsets?.[`${contributor}/${tube}`];
    return offset ? { ...offset, learned_at } : [];
  });
  return mostSources(found);
}
