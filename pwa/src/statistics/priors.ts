// Priors from a region for its sources: the season, the usual scatter of deliveries, and the offsets of tubes.
// Counterpart of statistics/priors.py.
import { type Change, changes_of } from "./changepoint";
import { offsets_of, POSSIBLE, type Reading, type TubeOffset } from "./instrument_bias";
import { median } from "./robust";
import { cells_of, met_at, type Season, season_of_cells } from "./season";
import { type Estimate, estimate, PRIOR_SCALE } from "./steadiness";
import { deliveries_of, heavy_of, LIGHT, type Visit, weight_in } from "./visits";

export const LEAST_VISITS = 4;
export const PRIOR_SOURCES = 3;
export const LEAST_STEP = 2;
export const LEAST_UNCERTAINTY = 0.05;
const UNKNOWN: TubeOffset = { offset: 0, uncertainty: POSSIBLE, sources: 0 };

/** season: of the region; null is flat and exact. prior_scale: of tau, %. offsets: by `owner_of` a visit. */
export interface Priors {
  readonly season: Season | null;
  readonly prior_scale: number;
  readonly offsets: Readonly<Record<string, TubeOffset>> | null;
}

/** A source's level is higher or lower from `at` on (days since 1970-01-01 UTC). */
export interface DatedChange {
  readonly at: number;
  readonly direction: "up" | "down";
}

/** The estimate for a source, its changes of level, oldest first, and the times of visits that are gross errors. */
export interface Figures {
  readonly estimate: Estimate;
  readonly changes: readonly DatedChange[];
  readonly wrong: readonly number[];
}

/** Return the priors without any data: a flat season, as uncertain as a season can be. */
export function nothing(): Priors {
  return { season: season_of_cells([]), prior_scale: PRIOR_SCALE, offsets: null };
}

/** Return the key of a visit's contributor and tube: an offset belongs to both. */
export function owner_of(visit: Visit): string {
  return `${visit.contributor}/${visit.tube ?? ""}`;
}

/** Return the priors from the visits of a region's sources; `country`: prior mean of the season. */
export function priors_of(
  by_source: Readonly<Record<string, readonly Visit[]>>,
  country: readonly number[] | null = null,
): Priors {
  const most = heaviest_in(by_source);
  const weighted = uncertain(by_source, most);
  const first = season_of_cells(cells_of(contents_of(weighted)), country);
  // A change of level is not seasonal: before and after it, a source counts as two sources.
  const season = season_of_cells(cells_of(contents_of(parted(weighted, first))), country);
  const found = Object.keys(by_source)
    .sort()
    .flatMap((source) => {
      const visits = by_source[source] as readonly Visit[];
      const known = estimate(visits, 0, season);
      return known === null ? [] : { source, visits, known };
    });
  const scatters = found.filter(({ visits }) => visits.length >= LEAST_VISITS).map(({ known }) => known.tau);
  const seldom = seldom_wrong(found);
  const readings = found.flatMap(({ source, visits, known }) =>
    visits.flatMap((visit, index): Reading[] => {
      const tube = owner_of(visit);
      if (known.wrong.includes(index) && seldom.has(tube)) return [];
      const uncertainty = Math.sqrt(known.tau ** 2 + visit.own_uncertainty ** 2);
      const counts = weight_in(visit) >= LIGHT * most;
      return [{ source, tube, deviation: deviation_of(visit, season), uncertainty, counts }];
    }),
  );
  return { season, prior_scale: prior_scale_of(scatters), offsets: offsets_of(readings) };
}

/** Return the figures of a source from its visits, oldest first, and its region's priors; null without visits. */
export function figures_of(visits: readonly Visit[], priors: Priors, now_day: number): Figures | null {
  if (visits.length === 0) return null;
  const changes = changes_in(
    visits,
    visits.map((visit) => deviation_of(visit, priors.season) - tube_of(visit, priors).offset),
  );
  const since = Math.max(
    0,
    ...changes.filter(({ index }) => is_enough(visits.slice(index), visits)).map(({ index }) => index),
  );
  const widened = visits.slice(since).map((visit) => widened_by(visit, tube_of(visit, priors)));
  const found = estimate(widened, now_day, priors.season, priors.prior_scale) as Estimate;
  return {
    estimate: found,
    changes: changes.map(({ index, direction }) => ({ at: (visits[index] as Visit).sampled_at, direction })),
    wrong: found.wrong.map((index) => (widened[index] as Visit).sampled_at),
  };
}

type BySource = Readonly<Record<string, readonly Visit[]>>;

function heaviest_in(by_source: BySource): number {
  const weights = Object.values(by_source).flatMap((visits) => visits.map(weight_in));
  return weights.reduce((most, weight) => Math.max(most, weight), weights.length > 0 ? 0 : 1);
}

/** Visits with low weights expressed as larger uncertainties. */
function uncertain(by_source: BySource, most: number): BySource {
  return Object.fromEntries(
    Object.entries(by_source).map(([source, visits]) => [
      source,
      visits.map((visit) => ({
        ...visit,
        own_uncertainty: visit.own_uncertainty * Math.sqrt(most / weight_in(visit)),
      })),
    ]),
  );
}

function contents_of(by_source: BySource): Record<string, [number, number, number][]> {
  return Object.fromEntries(
    Object.entries(by_source).map(([source, visits]) => [
      source,
      visits.map((visit): [number, number, number] => [visit.sampled_at, visit.content, visit.own_uncertainty]),
    ]),
  );
}

/** A visit's content minus the season. */
function deviation_of(visit: Visit, season: Season | null): number {
  return visit.content - (season ? met_at(season, visit.sampled_at) : 0);
}

function parted(by_source: BySource, season: Season): BySource {
  const parts: Record<string, readonly Visit[]> = {};
  for (const [source, visits] of Object.entries(by_source)) {
    const changes = changes_in(
      visits,
      visits.map((visit) => deviation_of(visit, season)),
    );
    const starts = [0, ...changes.map((change) => change.index)];
    starts.forEach((start, k) => {
      parts[`${source} ${start}`] = visits.slice(start, starts[k + 1]);
    });
  }
  return parts;
}

/**
 * The changes of level, each by the index of its first visit, from contributors who count at the source. Visits that
 * may belong to one delivery count once.
 */
function changes_in(visits: readonly Visit[], deviations: readonly number[]): Change[] {
  const is_heavy = heavy_of(visits);
  const heavy = visits.map((_, index) => index).filter((index) => is_heavy[index]);
  if (heavy.length === 0) return [];
  const theirs = heavy.map((index) => visits[index] as Visit);
  const groups = deliveries_of(theirs.map((visit) => visit.sampled_at));
  const means = groups.map((start, k) => {
    const group = heavy.slice(start, groups[k + 1]).map((index) => deviations[index] as number);
    return group.reduce((sum, value) => sum + value, 0) / group.length;
  });
  const spread = median(theirs.map((visit) => visit.own_uncertainty)) * Math.sqrt(groups.length / theirs.length);
  return changes_of(means, spread, LEAST_STEP).map((change) => ({
    ...change,
    index: heavy[groups[change.index] as number] as number,
  }));
}

/** Tubes with occasional gross errors, or with a single visit that is one; a tube with an offset is always off. */
function seldom_wrong(found: readonly { visits: readonly Visit[]; known: Estimate }[]): Set<string> {
  const every = new Map<string, number>();
  const wrong = new Map<string, number>();
  const count = (in_: Map<string, number>, owner: string) => in_.set(owner, (in_.get(owner) ?? 0) + 1);
  for (const { visits, known } of found) {
    for (const visit of visits) count(every, owner_of(visit));
    for (const index of known.wrong) count(wrong, owner_of(visits[index] as Visit));
  }
  const of = (owner: string) => every.get(owner) as number;
  return new Set([...wrong].filter(([who, times]) => of(who) === 1 || 2 * times <= of(who)).map(([who]) => who));
}

function is_enough(since: readonly Visit[], visits: readonly Visit[]): boolean {
  const most = Math.max(...visits.map(weight_in));
  const heavy = (of: readonly Visit[]) => of.filter((visit) => weight_in(visit) >= LIGHT * most);
  const people = (of: readonly Visit[]) => new Set(heavy(of).map((visit) => visit.contributor)).size;
  return heavy(since).length >= LEAST_VISITS && (people(visits) === 1 || people(since) > 1);
}

function tube_of(visit: Visit, priors: Priors): TubeOffset {
  return priors.offsets?.[owner_of(visit)] ?? UNKNOWN;
}

/** A visit with its uncertainties widened for the offset of its tube; priors.py explains how. */
function widened_by(visit: Visit, { offset, uncertainty }: TubeOffset): Visit {
  const known = Math.max(uncertainty, LEAST_UNCERTAINTY);
  const shared = visit.shared_uncertainty ** 2;
  const variance = shared / (1 + shared * (known ** -2 - POSSIBLE ** -2));
  const mean = (variance * offset) / known ** 2;
  return {
    ...visit,
    own_uncertainty: Math.hypot(visit.own_uncertainty, offset),
    shared_uncertainty: Math.sqrt(variance + mean ** 2),
  };
}

function prior_scale_of(scatters: readonly number[]): number {
  if (scatters.length === 0) return PRIOR_SCALE;
  return (PRIOR_SOURCES * PRIOR_SCALE + scatters.length * median(scatters)) / (PRIOR_SOURCES + scatters.length);
}
