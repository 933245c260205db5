// From readings to visits: one person at one source on one day (UTC) counts once. Counterpart of statistics/visits.py.

export const DELIVERY = 10;
export const LEFT = 0.15;
export const LEFT_UNCERTAINTY = LEFT / Math.sqrt(3);
export const UNEVEN = 1.25;
export const ALIKE = (DELIVERY * UNEVEN * (1 + LEFT)) / (1 - LEFT);
export const LARGEST_SHARE = 1 / 3;
export const ESTABLISHED = 0.75;
export const LIGHT = 0.5;
export const LIGHT_SHARE = 0.05;

/**
 * One visit of one contributor to one source: days since 1970-01-01 UTC, %, standard uncertainties in %, whose tube.
 * weight: of the contributor, above 0 to 1, as the server has it; 1 where it is not known.
 */
export interface Visit {
  readonly sampled_at: number;
  readonly content: number;
  readonly own_uncertainty: number;
  readonly shared_uncertainty: number;
  readonly contributor: string;
  readonly tube?: string;
  readonly weight?: number;
}

export function weight_in({ weight }: Visit): number {
  return weight ?? 1;
}

/** Return which visits are by contributors with at least half the largest weight. */
export function heavy_of(visits: readonly Visit[]): boolean[] {
  const most = Math.max(...visits.map(weight_in));
  return visits.map((visit) => weight_in(visit) >= LIGHT * most);
}

/** Return the visits of the readings at one source, oldest first, each the mean of its contributor's readings. */
export function visits_of(readings: readonly Visit[]): Visit[] {
  const groups: [Visit, ...Visit[]][] = [];
  const ordered = [...readings].sort(
    (a, b) => by_text(a.contributor, b.contributor) || a.sampled_at - b.sampled_at || a.content - b.content,
  );
  for (const reading of ordered) {
    const group = groups.at(-1);
    if (group && group[0].contributor === reading.contributor && together(group[0], reading)) group.push(reading);
    else groups.push([reading]);
  }
  // Not by contributor first: their ids differ between phone and server.
  return groups
    .map(mean)
    .sort((a, b) => a.sampled_at - b.sampled_at || a.content - b.content || by_text(a.contributor, b.contributor));
}

/** Return the first index of each delivery, given sorted days: visits within `DELIVERY` days are one delivery. */
export function deliveries_of(days: readonly number[]): number[] {
  const starts: number[] = [];
  days.forEach((day, index) => {
    const first = days[starts.at(-1) ?? -1];
    if (first === undefined || day > first + DELIVERY) starts.push(index);
  });
  return starts;
}

/** Return the weight of each visit; visits.py explains it. alike: correlation of visits that share fuel. */
export function weights_of(visits: readonly Visit[], alike: readonly number[] | null = null): number[] {
  const most_weight = Math.max(...visits.map(weight_in));
  const of_person = visits.map((visit) => weight_in(visit) / most_weight);
  const heavy = heavy_of(visits);
  const alone = visits.map(({ sampled_at }, k) => {
    const own = of_person[k] as number;
    let others = -own;
    visits.forEach((other, i) => {
      others += Math.max(0, 1 - Math.abs(sampled_at - other.sampled_at) / ALIKE) * (of_person[i] as number);
    });
    return own / (1 + (alike?.[k] ?? 1) * others);
  });
  const by_person = new Map<string | null, number>();
  const whose = visits.map(({ contributor }, k) => (heavy[k] ? contributor : null));
  whose.forEach((who, k) => {
    by_person.set(who, (by_person.get(who) ?? 0) + (alone[k] as number));
  });
  const light = by_person.get(null) ?? 0;
  by_person.delete(null);
  const most = most_of([...by_person.values()].sort((a, b) => b - a));
  const shares = new Map([...by_person].map(([who, weight]) => [who, Math.min(1, most / weight)]));
  const held = [...by_person].reduce((sum, [who, weight]) => sum + weight * (shares.get(who) as number), 0);
  shares.set(null, light ? Math.min(1, ((LIGHT_SHARE / (1 - LIGHT_SHARE)) * held) / light) : 1);
  const held_back = whose.map((who) => shares.get(who) as number);
  const weights = held_back.map((share, k) => share * (alone[k] as number));
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  const scale = sum(weights) / sum(weights.map((weight, k) => weight * (held_back[k] as number)));
  return weights.map((weight) => weight * scale);
}

/** The largest weight one person may have, given each one's own, largest first. */
function most_of(heaviest: readonly number[]): number {
  const people = heaviest.length;
  if (people < 2) return Number.POSITIVE_INFINITY;
  const after = (first: number) => heaviest.slice(first).reduce((total, value) => total + value, 0);
  const share = Math.max(1 / people, LARGEST_SHARE);
  const most = (after(1) * share) / (1 - share);
  return people === 3 || most >= (heaviest[1] as number) ? most : after(2);
}

function together(first: Visit, other: Visit): boolean {
  return Math.floor(other.sampled_at) === Math.floor(first.sampled_at);
}

function mean(group: readonly [Visit, ...Visit[]]): Visit {
  const total = (of: (reading: Visit) => number) => group.reduce((sum, reading) => sum + of(reading), 0);
  return {
    sampled_at: group[0].sampled_at,
    content: total((r) => r.content) / group.length,
    own_uncertainty: Math.sqrt(total((r) => r.own_uncertainty ** 2)) / group.length,
    shared_uncertainty: total((r) => r.shared_uncertainty) / group.length,
    contributor: group[0].contributor,
    tube: group[0].tube ?? "",
    weight: weight_in(group[0]),
  };
}

function by_text(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
