/**
 * What each region teaches (its season, its usual scatter, whose tube is off), learned from the tests on this phone.
 *
 * Learning looks at a whole region, so it is done again only when the region has grown by a tenth.
 */

import { NORMAL } from "../chemistry/coverage";
import { compute } from "../computing";
import type { Lessons } from "../statistics/lessons";
import type { TubeOffset } from "../statistics/offsets";
import { country_of } from "../statistics/season";
import type { Visit } from "../statistics/visits";
import { run, write } from "./open";
import { readingsAt } from "./readings";
import type { FiguresRow, Place } from "./schema";
import { type Former, type Learned, readFact } from "./settings";
import { marked } from "./stale";
import { weighed } from "./weights";

const PLACES: Place[] = ["own_tests", "pulled_tests", "merged", "figures", "settings"];
/** A region with fewer tests teaches nothing yet; one with more would hold up the screen. */
const LEAST_TESTS = 10;
const MOST_TESTS = 4000;
const GROWTH = 1.1;
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
function current(lessons: Lessons | Former | undefined): Lessons | null {
  return lessons && "season" in lessons ? lessons : null;
}

/** Learns from the regions that have grown and marks their sources for computing. Gives whether there were any. */
export async function learn(now: Date): Promise<boolean> {
  const [rows, learned = {}] = await Promise.all([run((base) => base.getAll("figures")), readFact("lessons")]);
  const grown = [...byRegion(rows)].filter(([region, sources]) => isGrown(sources, learned[region]));
  for (const [region, sources] of grown) {
    await learnFrom(region, sources, now);
    await new Promise((resolve) => setTimeout(resolve));
  }
  return grown.length > 0;
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

/** Reads, computes elsewhere, and writes; what a test adds meanwhile is learned from when the region has grown again. */
async function learnFrom(region: string, rows: FiguresRow[], now: Date): Promise<void> {
  const [bySource, known] = await run(async (base) => {
    const reading = base.transaction(PLACES);
    const settings = reading.objectStore("settings");
    const bySource: Record<string, Visit[]> = {};
    for (const { source } of rows)
      bySource[source] = await weighed(settings, region, await readingsAt(reading, source, now));
    return [bySource, ((await settings.get("lessons")) ?? {}) as Learned] as const;
  });
  const lessons = await compute("lessons", bySource, countryAround(known, region));
  await write(["settings", "figures"], async (writing) => {
    const settings = writing.objectStore("settings");
    const learned = ((await settings.get("lessons")) ?? {}) as Learned;
    await settings.put(
      { ...learned, [region]: { lessons, tests: testsIn(rows), learned_at: now.toISOString() } },
      "lessons",
    );
    const figures = writing.objectStore("figures");
    for (const { source } of rows) {
      const row = await figures.get(source);
      if (row !== undefined) await figures.put({ ...row, ...marked(row) });
    }
  });
}

/** The season of the country's other regions. */
function countryAround(learned: Learned, region: string): number[] | null {
  const country = region.slice(0, 2);
  const others = Object.entries(learned).filter(([code]) => code !== region && code.slice(0, 2) === country);
  return country_of(
    others.flatMap(([, { lessons, tests }]) => {
      const season = current(lessons)?.season;
      return season ? [[tests, season.deviations] as const] : [];
    }),
  );
}

function byRegion(rows: FiguresRow[]): Map<string, FiguresRow[]> {
  const regions = new Map<string, FiguresRow[]>();
  for (const row of rows) if (row.region) regions.set(row.region, [...(regions.get(row.region) ?? []), row]);
  return regions;
}

function isGrown(rows: FiguresRow[], before: Learned[string] | undefined): boolean {
  const tests = testsIn(rows);
  const isNew = before === undefined || current(before.lessons) === null || tests >= GROWTH * before.tests;
  return tests >= LEAST_TESTS && tests <= MOST_TESTS && isNew;
}

function testsIn(rows: FiguresRow[]): number {
  return rows.reduce((sum, row) => sum + (row.figures?.tests ?? 0), 0);
}
