// What a region teaches about its sources: the season, the usual scatter, and whose tube is off.
// Twin of statistics/lessons.py.
import { type Change, changes_of } from "./change";
import { offsets_of, type Reading, type TubeOffset } from "./offsets";
import { median } from "./robust";
import { at_day, baseline_of, cells_of, FLAT } from "./season";
import { type Estimate, estimate, PRIOR_SCALE } from "./steadiness";
import { type Visit, weeks_of } from "./visits";

export const LEAST_VISITS = 4;
export const PRIOR_SOURCES = 3;
export const LEAST_STEP = 2;

/** months: the season's part, % by month of the year. prior_scale: of tau, %. offsets: by `owner_of` a visit. */
export interface Lessons {
  readonly months: readonly number[];
  readonly prior_scale: number;
  readonly offsets: Readonly<Record<string, TubeOffset>> | null;
}

/** From `at` (days since 1970-01-01 UTC) on a source lies higher or lower than before. */
export interface DatedChange {
  readonly at: number;
  readonly direction: "up" | "down";
}

/** What is known of a source, and its changes of level, oldest first. */
export interface Figures {
  readonly estimate: Estimate;
  readonly changes: readonly DatedChange[];
}

/** What is taken where nothing was learned. */
export const NOTHING: Lessons = { months: FLAT, prior_scale: PRIOR_SCALE, offsets: null };

/** Return the tube and whose it is: an offset belongs to both. */
export function owner_of(visit: Visit): string {
  return `${visit.contributor}/${visit.tube ?? ""}`;
}

/** Return what the visits of a region's sources teach; `country`: the season to draw thin months to. */
export function lessons_of(
  by_source: Readonly<Record<string, readonly Visit[]>>,
  country: readonly number[] | null = null,
): Lessons {
  const first = baseline_of(cells_of(contents_of(by_source)), country);
  // A change of level is not the season: what lies before and after it is taken as two sources.
  const months = baseline_of(cells_of(contents_of(parted(by_source, first))), country);
  const season = (day: number) => at_day(months, day);
  const readings: Reading[] = [];
  const scatters: number[] = [];
  for (const source of Object.keys(by_source).sort()) {
    const visits = by_source[source] as readonly Visit[];
    const found = estimate(visits, 0, season);
    if (found === null) continue;
    if (visits.length >= LEAST_VISITS) scatters.push(found.tau);
    for (const visit of visits)
      readings.push({
        source,
        tube: owner_of(visit),
        deviation: visit.content - season(visit.sampled_at),
        uncertainty: Math.sqrt(found.tau ** 2 + visit.own_uncertainty ** 2),
      });
  }
  return { months, prior_scale: prior_scale_of(scatters), offsets: offsets_of(readings) };
}

/** Return what the visits of a source, oldest first, tell in the light of its region; null without visits. */
export function figures_of(visits: readonly Visit[], lessons: Lessons, now_day: number): Figures | null {
  if (visits.length === 0) return null;
  const season = (day: number) => at_day(lessons.months, day);
  const widened = visits.map((visit) => widened_by(visit, lessons));
  const changes = changes_in(
    visits,
    visits.map((visit) => visit.content - season(visit.sampled_at) - offset_in(visit, lessons)),
  );
  const since = Math.max(
    0,
    ...changes.filter(({ index }) => tells(visits.slice(index), visits)).map(({ index }) => index),
  );
  const found = estimate(widened.slice(since), now_day, season, lessons.prior_scale) as Estimate;
  return {
    estimate: found,
    changes: changes.map(({ index, direction }) => ({ at: (visits[index] as Visit).sampled_at, direction })),
  };
}

type BySource = Readonly<Record<string, readonly Visit[]>>;

function contents_of(by_source: BySource): Record<string, [number, number][]> {
  return Object.fromEntries(
    Object.entries(by_source).map(([source, visits]) => [
      source,
      visits.map((visit): [number, number] => [visit.sampled_at, visit.content]),
    ]),
  );
}

function parted(by_source: BySource, months: readonly number[]): BySource {
  const parts: Record<string, readonly Visit[]> = {};
  for (const [source, visits] of Object.entries(by_source)) {
    const changes = changes_in(
      visits,
      visits.map((visit) => visit.content - at_day(months, visit.sampled_at)),
    );
    const starts = [0, ...changes.map((change) => change.index)];
    starts.forEach((start, k) => {
      parts[`${source} ${start}`] = visits.slice(start, starts[k + 1]);
    });
  }
  return parts;
}

/** The changes of level, by the visit each begins with. One week's visits mostly meet one delivery: they count once. */
function changes_in(visits: readonly Visit[], deviations: readonly number[]): Change[] {
  if (visits.length === 0) return [];
  const weeks = weeks_of(visits);
  const means = weeks.map((start, k) => {
    const week = deviations.slice(start, weeks[k + 1]);
    return week.reduce((sum, value) => sum + value, 0) / week.length;
  });
  const spread = median(visits.map((visit) => visit.own_uncertainty)) * Math.sqrt(weeks.length / visits.length);
  return changes_of(means, spread, LEAST_STEP).map((change) => ({ ...change, index: weeks[change.index] as number }));
}

function tells(since: readonly Visit[], visits: readonly Visit[]): boolean {
  const people = (of: readonly Visit[]) => new Set(of.map((visit) => visit.contributor)).size;
  return since.length >= LEAST_VISITS && (people(visits) === 1 || people(since) > 1);
}

function offset_in(visit: Visit, lessons: Lessons): number {
  return lessons.offsets?.[owner_of(visit)]?.offset ?? 0;
}

function widened_by(visit: Visit, lessons: Lessons): Visit {
  return { ...visit, own_uncertainty: Math.sqrt(visit.own_uncertainty ** 2 + offset_in(visit, lessons) ** 2) };
}

function prior_scale_of(scatters: readonly number[]): number {
  if (scatters.length === 0) return PRIOR_SCALE;
  return (PRIOR_SOURCES * PRIOR_SCALE + scatters.length * median(scatters)) / (PRIOR_SOURCES + scatters.length);
}
