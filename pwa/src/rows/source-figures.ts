/** Figures of a source, as stored. */

/** The answer to "what will I get next time?", in %, as `figures` of GET /sources. */
export interface SourceFigures {
  typical: number;
  typical_interval: readonly [number, number];
  tau: number;
  tau_interval: readonly [number, number];
  /** Upper 80 % bound of tau: the key of the order "steadiest". */
  tau_bound: number;
  next_fill: readonly [number, number];
  floor: number;
  /** For probability_at_least in statistics/steadiness. */
  next_fill_quantiles: readonly number[];
  tests: number;
  visits: number;
  contributors: number;
  last_sampled_at: string;
  evidence: number;
  changes: { at: string; direction: string }[];
  /** The first visit of the present level; rows computed by an earlier version lack it. */
  level_since?: string;
  /** Standard uncertainty that the season adds to the present level, %; rows computed by an earlier version lack it. */
  season_uncertainty?: number;
  /** Visits treated as gross errors; the number of established contributors, and the weight of the heaviest one. */
  wrong?: readonly { at: string; contributor: string }[];
  established?: number;
  heaviest?: number;
}
