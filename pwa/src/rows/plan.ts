/** A sampling plan: one visit a week to a source. Stays on this phone. */
export interface PlanRow {
  source: string;
  /** Calendar day of the first visit, `2026-03-16`: a date without a time zone. */
  first_day: string;
  weeks: number;
  made_at: string;
}
