/** What each region teaches (its season, its usual scatter, whose tube is off), learned from the tests on this phone. */

import { NORMAL } from "../chemistry/coverage";
import type { Lessons } from "../statistics/lessons";
import type { TubeOffset } from "../statistics/offsets";
import type { Former, Learned } from "./facts";
import { readFact } from "./settings";

/** Of sources that others test too, before a tube is compared. */
const LEAST_SOURCES = 2;
/** Stands for a moment that was not noted. */
const OLD = "1970-01-01T00:00:00Z";

/** The store `settings`, of a reading or a writing transaction. */
interface SettingsStore {
  get(name: "lessons"): Promise<unknown>;
}

/** The lessons that hold at a source; null where nothing was learned. */
export async function lessonsAt(settings: SettingsStore, region: string | null): Promise<Lessons | null> {
  const learned = (await settings.get("lessons")) as Learned | undefined;
  return current(learned?.[region ?? ""]?.lessons);
}

/** Lessons as this version learns them; null for those of an earlier one. */
export function current(lessons: Lessons | Former | undefined): Lessons | null {
  return lessons && "season" in lessons ? lessons : null;
}

/** A tube of this phone against those of others, in points: positive reads high; uncertainty at 95 %. */
export interface Comparison {
  offset: number;
  expanded_uncertainty: number;
  sources: number;
  verdict: "low" | "high" | "agrees";
  /** Whose figure it is: the newer of the two. */
  by: "phone" | "server";
  /** Empty for one that an earlier version learned. */
  learned_at: string;
}

/** How a tube reads where others test too, by this phone or the server; null until at least two sources tell. */
export async function comparedToOthers(tube: string): Promise<Comparison | null> {
  const [identity, asked] = await Promise.all([readFact("identity"), readFact("tubes")]);
  const own = identity ? await offsetOf(identity.contributor, tube) : null;
  const theirs = mostTold((asked?.tubes ?? []).filter((one) => one.tube === tube));
  return newest([told(own, "phone"), told(theirs, "server")]);
}

function newest(found: (Comparison | null)[]): Comparison | null {
  const known = found.filter((one) => one !== null);
  return known.sort((a, b) => Date.parse(b.learned_at || OLD) - Date.parse(a.learned_at || OLD))[0] ?? null;
}

function told(found: (TubeOffset & { learned_at: string }) | null, by: Comparison["by"]): Comparison | null {
  if (found === null || found.sources < LEAST_SOURCES) return null;
  const { offset, sources, learned_at } = found;
  const expanded_uncertainty = NORMAL * found.uncertainty;
  const isOff = Math.abs(offset) > expanded_uncertainty;
  const verdict = isOff ? (offset < 0 ? "low" : "high") : "agrees";
  return { offset, expanded_uncertainty, sources, verdict, by, learned_at };
}

/** Of several regions the one where most sources tell. */
function mostTold<Found extends TubeOffset>(found: Found[]): Found | null {
  return found.sort((a, b) => b.sources - a.sources)[0] ?? null;
}

/** What somebody's tube reads too high or too low, as far as others tested at the same sources. */
export async function offsetOf(
  contributor: string,
  tube: string,
): Promise<(TubeOffset & { learned_at: string }) | null> {
  const learned = (await readFact("lessons")) ?? {};
  const found = Object.values(learned).flatMap(({ lessons, learned_at = "" }) => {
    const offset = lessons.offsets?.[`${contributor}/${tube}`];
    return offset ? { ...offset, learned_at } : [];
  });
  return mostTold(found);
}
