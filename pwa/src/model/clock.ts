/** The phone's clock: how far it is from the server's, and whether it was set while a tube was settling. */

const MINUTE = 60_000;
/** ms; visits are counted by the day, so a smaller error hardly changes a figure. */
const OFF = 10 * MINUTE;
/** A Date header has whole seconds: on average the server's clock is half a second ahead. */
const HALF_SECOND = 500;
/** ms; a busy page reads the clock late by less. */
const NOTICEABLE = 5_000;
/** ms; an unattended phone may sleep this long without its clock having been set. */
const LONGEST_SLEEP = 12 * 60 * MINUTE;

/**
 * How far the phone's clock is behind the server's, ms; null if the answer has no date.
 *
 * said: the Date header of the answer. asked, answered: by the phone's clock, ms since 1970; the server is assumed to
 * have answered halfway.
 */
export function behindBy(said: string | null, asked: number, answered: number): number | null {
  const server = Date.parse(said ?? "");
  const way = answered - asked;
  if (!Number.isFinite(server) || way < 0 || way > OFF) return null;
  return server + HALF_SECOND - (asked + answered) / 2;
}

/** Whether a clock is off by more than the times of tests allow. */
export function isOff(behind: number | null): behind is number {
  return behind !== null && Math.abs(behind) >= OFF;
}

/** Both clocks of a page at one moment, ms: the wall clock, which can be set, and the monotonic one. */
export interface Moment {
  wall: number;
  steady: number;
  /** The page was hidden at some time since the previous moment, so the phone may have slept. */
  unseen: boolean;
}

/** How far the clock was set between two moments, ms, positive for forward; 0 if it was not set, or the phone slept. */
export function setBetween(before: Moment, after: Moment): number {
  const by = after.wall - before.wall - (after.steady - before.steady);
  if (Math.abs(by) < NOTICEABLE) return 0;
  // The monotonic clock may stop during sleep; sleep never sets a clock back, nor lasts for months.
  return after.unseen && by > 0 && by < LONGEST_SLEEP ? 0 : by;
}
