/** Starred sources. They stay on this phone, except in log files. */

/** The state of a source when the list was viewed. */
export interface SeenState {
  at: string;
  /** Other people's tests that counted; never decreases, so that fetching them again is not news. */
  tests: number;
  /** Direction of a change of level that was news then. */
  change: string | null;
  /** The interval of its content, %. */
  level: readonly [number, number] | null;
}

export interface Star {
  starred_at: string;
  /** News is relative to this; null before the list was viewed. */
  seen: SeenState | null;
  /** The last view: news is relative to it from the next visit on. */
  looked: SeenState | null;
}

/** By source id. */
export type Stars = Readonly<Record<string, Star>>;

/** As stored in a log file. */
export interface StarRow {
  source: string;
  starred_at: string;
}
