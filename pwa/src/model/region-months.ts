/** A region month by month: a robust centre of what its pumps delivered, as in the server's monthly figures. */

import { type Specification, verdict } from "../chemistry/meaning";
import { huber } from "../statistics/robust";
import { type Visit, visits_of } from "../statistics/visits";

/** One counted test from a pump. source: the one that represents the place. */
export interface RegionTest {
  source: string;
  visit: Visit;
  /** % at 95 % */
  expanded_uncertainty: number;
}

/** How many tests are wholly within a specification, and how many are too close to a limit to say. */
export interface Share {
  inside: number;
  cannot_tell: number;
}

/** centre, spread: robust, over visits, %; no spread for a single visit. month: `2026-01`, UTC. */
export interface RegionMonth {
  month: string;
  sources: number;
  tests: number;
  contributors: number;
  centre: number;
  spread: number | null;
  share: Share | null;
}

const DAY = 86_400_000;
/** Length of `2026-01`. */
const MONTH = 7;

/** Oldest first. A visit counts once, no matter how many tests it has. */
export function monthsOf(tests: readonly RegionTest[], specification: Specification | null): RegionMonth[] {
  const groups = new Map<string, RegionTest[]>();
  for (const test of tests) {
    const month = new Date(test.visit.sampled_at * DAY).toISOString().slice(0, MONTH);
    groups.set(month, [...(groups.get(month) ?? []), test]);
  }
  return [...groups]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([month, group]) => oneMonth(month, group, specification));
}

/** The middle of a month, ms since 1970. */
export function middleOf(month: string): number {
  return Date.parse(`${month}-15T12:00:00Z`);
}

/** The specification chosen in the settings. */
export function chosenOf(specifications: readonly Specification[], code: string | null): Specification | null {
  return specifications.find((one) => one.code === code) ?? null;
}

function oneMonth(month: string, group: readonly RegionTest[], specification: Specification | null): RegionMonth {
  const places = new Set(group.map((test) => test.source));
  const visits = [...places].flatMap((source) =>
    visits_of(group.filter((test) => test.source === source).map((test) => test.visit)),
  );
  const [centre, spread] = huber(visits.map((visit) => visit.content));
  return {
    month,
    sources: places.size,
    tests: group.length,
    contributors: new Set(group.map((test) => test.visit.contributor)).size,
    centre,
    spread: visits.length > 1 ? spread : null,
    share: specification && shareOf(group, specification),
  };
}

function shareOf(group: readonly RegionTest[], specification: Specification): Share {
  const found = group.map((test) => verdict(test.visit.content, test.expanded_uncertainty, specification));
  return {
    inside: found.filter((one) => one === "inside").length,
    cannot_tell: found.filter((one) => one === "cannot_tell").length,
  };
}
