/** The long computations, from stored rows to figures; the same in a worker thread or in this one. */

import type { SourceFigures } from "../rows/source-figures";
import { figures_of, nothing, type Priors, priors_of } from "../statistics/priors";
import { type Visit, visits_of } from "../statistics/visits";

const DAY = 86_400_000;

/** The readings at a source that count, and its region's priors; null: none yet. */
export interface Counted {
  readings: Visit[];
  priors: Priors | null;
}

const TASKS = {
  /** now: ms since 1970. */
  figures: (sources: Counted[], now: number): (SourceFigures | null)[] => {
    // Built once, and only if needed: it takes some milliseconds.
    const noPriors = sources.some(({ priors }) => priors === null) ? nothing() : null;
    return sources.map(({ readings, priors }) => figuresOf(readings, (priors ?? noPriors) as Priors, now));
  },

  /** The readings by source, and the season of the surrounding country. */
  priors: (bySource: Record<string, Visit[]>, country: number[] | null): Priors =>
    priors_of(
      Object.fromEntries(Object.entries(bySource).map(([source, readings]) => [source, visits_of(readings)])),
      country,
    ),
};

export type Tasks = typeof TASKS;

/** Runs a task by its name. */
export function perform(name: keyof Tasks, input: unknown[]): unknown {
  return (TASKS[name] as (...input: unknown[]) => unknown)(...input);
}

function figuresOf(readings: Visit[], priors: Priors, now: number): SourceFigures | null {
  const visits = visits_of(readings);
  const found = figures_of(visits, priors, now / DAY);
  if (found === null) return null;
  const { last_sampled_at, wrong: indices, ...rest } = found.estimate;
  const changes = found.changes.map(({ at, direction }) => ({ at: moment(at), direction }));
  // The estimate uses the newest visits: those since the last change of level.
  const newest = visits.slice(-rest.visits);
  const level_since = moment((newest[0] as Visit).sampled_at);
  const wrong = indices.map((index) => {
    const { sampled_at, contributor } = newest[index] as Visit;
    return { at: moment(sampled_at), contributor };
  });
  return { ...rest, tests: readings.length, last_sampled_at: moment(last_sampled_at), changes, level_since, wrong };
}

function moment(day: number): string {
  return new Date(day * DAY).toISOString();
}
