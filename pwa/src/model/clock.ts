/** The phone's clock: how far it is from the server's, and whether somebody set it while a tube was settling. */

const MINUTE = 60_000;
/** ms; visits are counted by the day, so that less moves next to no figure. */
const OFF = 10 * MINUTE;
/** A Date header has whole seconds: on average the server's clock stands half of one later. */
const HALF_SECOND = 500;
/** ms; a page that is busy looks at the clock late by less. */
const NOTICEABLE = 5_000;
/** ms; a phone that nobody looks at may sleep so long, and then its clock has not been set. */
const LONGEST_SLEEP = 12 * 60 * MINUTE;

/**
 * How far the phone's clock is behind the server's, ms; null when the answer does not tell.
 *
 * said: the Date header of the answer. asked, answered: by the phone's clock, ms since 1970; the server's answer is taken
 * to come from the middle.
 */
export function behindBy(said: string | null, asked: number, answered: number): number | null {
  const server = Date.parse(said ?? "");
  const way = answered - asked;
  if (!Number.isFinite(server) || way < 0 || way > OFF) return null;
  return server + HALF_SECOND - (asked + answered) / 2;
}

/** Whether a clock is so far off that the times of tests are wrong by more than they may. */
export function isOff(behind: number | null): behind is number {
  return behind !== null && Math.abs(behind) >= OFF;
}

/** Both clocks of a page at one moment, ms: the one that can be set, and the one that only runs. */
export interface Moment {
  wall: number;
  steady: number;
  /** Nobody could see the page at some time since the moment before, so that the phone may have slept. */
  unseen: boolean;
}

/** ms by which the clock was set between two moments, forward above 0; 0 where it only ran, or the phone slept. */
export function setBetween(before: Moment, after: Moment): number {
  const by = after.wall - before.wall - (after.steady - before.steady);
  if (Math.abs(by) < NOTICEABLE) return 0;
  // The steady clock may stand still in sleep; no sleep sets a clock back, or lasts for months.
  return after.unseen && by > 0 && by < LONGEST_SLEEP ? 0 : by;
}
