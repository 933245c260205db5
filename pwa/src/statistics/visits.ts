// From readings to visits: one person at one source on one day (UTC) counts once. Twin of statistics/visits.py.

export const WEEK = 6;
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
  return groups.map(mean).sort((a, b) => a.sampled_at - b.sampled_at || by_text(a.contributor, b.contributor));
}

/** Return how much each visit counts, 0..1: nobody holds more than a third of a source, or half of two people. */
export function weights_of(visits: readonly Visit[]): number[] {
  const counts = new Map<string, number>();
  for (const { contributor } of visits) counts.set(contributor, (counts.get(contributor) ?? 0) + 1);
  const most = counts.size > 0 ? Math.max(1 / counts.size, LARGEST_SHARE) : 1;
  if (most === 1) return visits.map(() => 1);
  return visits.map(({ contributor }) => {
    const count = counts.get(contributor) as number;
    return Math.min(1, ((visits.length - count) * most) / (1 - most) / count);
  });
}

/** Return where each week of the visits, oldest first, begins: it runs from its first visit. */
export function weeks_of(visits: readonly Visit[]): number[] {
  const starts: number[] = [];
  visits.forEach((visit, index) => {
    const first = visits[starts.at(-1) ?? -1];
    if (!first || visit.sampled_at - first.sampled_at > WEEK) starts.push(index);
  });
  return starts;
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
