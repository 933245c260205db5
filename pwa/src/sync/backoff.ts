/** How long to wait after failures: doubling, with jitter, so that a hall full of phones does not come back at once. */

const FIRST = 4_000;
const LONGEST = 5 * 60_000;
/** A captive portal may ask for anything. */
const LONGEST_ASKED = 60 * 60_000;

/** ms to wait after `failures` failures in a row (from 1 on); random: 0 to below 1. Between half and all of the step. */
export function backOff(failures: number, random: number): number {
  const step = Math.min(LONGEST, FIRST * 2 ** (failures - 1));
  return (step * (1 + random)) / 2;
}

/** ms that a server's Retry-After binds us; seconds: what it asked, null for nothing. An hour at most. */
export function askedWait(seconds: number | null): number {
  return Math.min(LONGEST_ASKED, (seconds ?? 0) * 1000);
}
