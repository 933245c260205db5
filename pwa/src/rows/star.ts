/** Sources that a person has starred. Stays on this phone, but for log files. */

/** How a source stood when the list was looked at. */
export interface Standing {
  at: string;
  /** Tests of others that counted; never fewer than before, so that what is fetched again is no news. */
  tests: number;
  /** Direction of a change of level that was news then. */
  change: string | null;
  /** The interval of its content, %. */
  level: readonly [number, number] | null;
}

export interface Star {
  starred_at: string;
  /** What news are told against; null before the list was looked at. */
  seen: Standing | null;
  /** The last look: news are told against it from the next visit on. */
  looked: Standing | null;
}

/** By the source. */
export type Stars = Readonly<Record<string, Star>>;

/** As a log file holds it. */
export interface StarRow {
  source: string;
  starred_at: string;
}
