// From readings to visits: one person at one source on one day (UTC) counts once. Twin of statistics/visits.py.

export const DELIVERY = 10;
export const LARGEST_SHARE = 1 / 3;

/** One visit of one contributor to one source: days since 1970-01-01 UTC, %, standard uncertainties in %, whose tube. */
export interface Visit {
  readonly sampled_at: number;
  readonly content: number;
  readonly own_uncertainty: number;
  readonly shared_uncertainty: number;
  readonly contributor: string;
  readonly tube?: string;
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
  // Not by who first: a phone knows people by other names than the server.
  return groups
    .map(mean)
    .sort((a, b) => a.sampled_at - b.sampled_at || a.content - b.content || by_text(a.contributor, b.contributor));
}

/** Return where visits, oldest first, begin that may have met one delivery: no later than `DELIVERY` days after. */
export function deliveries_of(visits: readonly Visit[]): number[] {
  const starts: number[] = [];
  visits.forEach((visit, index) => {
    const first = visits[starts.at(-1) ?? -1];
    if (!first || visit.sampled_at - first.sampled_at > DELIVERY) starts.push(index);
  });
  return starts;
}

/** Return how much each visit counts, 0..1; visits.py explains why. */
export function weights_of(visits: readonly Visit[]): number[] {
  const alone = visits.map(({ sampled_at }) => {
    let alike = 0;
    for (const other of visits) alike += Math.max(0, 1 - Math.abs(sampled_at - other.sampled_at) / DELIVERY);
    return 1 / alike;
  });
  const by_person = new Map<string, number>();
  visits.forEach(({ contributor }, k) => {
    by_person.set(contributor, (by_person.get(contributor) ?? 0) + (alone[k] as number));
  });
  const most = most_of([...by_person.values()].sort((a, b) => b - a));
  return visits.map(
    ({ contributor }, k) => (alone[k] as number) * Math.min(1, most / (by_person.get(contributor) as number)),
  );
}

/** What one person may count, from what each would by themselves, the most first. */
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
  };
}

function by_text(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
