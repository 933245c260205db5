/**
 * Learns each region's priors from the tests on this phone.
 *
 * This reads a whole region, so it is done again only when the region has grown by a tenth.
 */

import type { Compute } from "../compute";
import type { FiguresRow } from "../rows/source";
import { country_of } from "../statistics/season";
import type { Visit } from "../statistics/visits";
import type { Learned } from "./facts";
import { run, write } from "./open";
import { current } from "./priors";
import { readingsAt } from "./readings";
import type { Place } from "./schema";
import { readFact } from "./settings";
import { marked } from "./stale";
import { weighed } from "./weights";

const PLACES: Place[] = ["own_tests", "pulled_tests", "merged", "figures", "settings"];
/** A region with fewer tests is too small to learn from; one with more would block the screen. */
const LEAST_TESTS = 10;
const MOST_TESTS = 4000;
const GROWTH = 1.1;

/** Learns from the regions that have grown and marks their sources stale. Returns whether there were any. */
export async function learn(now: Date, compute: Compute): Promise<boolean> {
  const [rows, learned = {}] = await Promise.all([run((base) => base.getAll("figures")), readFact("lessons")]);
  const grown = [...byRegion(rows)].filter(([region, sources]) => isGrown(sources, learned[region]));
  for (const [region, sources] of grown) {
    await learnFrom(region, sources, now, compute);
    await new Promise((resolve) => setTimeout(resolve));
  }
  return grown.length > 0;
}

/** Reads, computes in the worker, and writes; tests added meanwhile count when the region has grown again. */
async function learnFrom(region: string, rows: FiguresRow[], now: Date, compute: Compute): Promise<void> {
  const [bySource, known] = await run(async (base) => {
    const reading = base.transaction(PLACES);
    const settings = reading.objectStore("settings");
    const bySource: Record<string, Visit[]> = {};
    for (const { source } of rows)
      bySource[source] = await weighed(settings, region, await readingsAt(reading, source, now));
    return [bySource, ((await settings.get("lessons")) ?? {}) as Learned] as const;
  });
  const priors = await compute("priors", bySource, countryAround(known, region));
  await write(["settings", "figures"], async (writing) => {
    const settings = writing.objectStore("settings");
    const learned = ((await settings.get("lessons")) ?? {}) as Learned;
    await settings.put(
      { ...learned, [region]: { lessons: priors, tests: testsIn(rows), learned_at: now.toISOString() } },
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
    others.flatMap(([, { lessons: priors, tests }]) => {
      const season = current(priors)?.season;
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
