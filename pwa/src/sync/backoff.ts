/** How long to wait after failures: doubling, with jitter, so that many phones do not retry at once. */

const FIRST = 4_000;
const LONGEST = 5 * 60_000;
/** A captive portal may ask for any wait. */
const LONGEST_ASKED = 60 * 60_000;

/** ms to wait after `failures` (1 or more) in a row; random: 0 to below 1. Between half and all of the step. */
export function backOff(failures: number, random: number): number {
  const step = Math.min(LONGEST, FIRST * 2 ** (failures - 1));
  return (step * (1 + random)) / 2;
}

/** ms to wait for a server's Retry-After, at most an hour; seconds: as sent, null for none. */
export function askedWait(seconds: number | null): number {
  return Math.min(LONGEST_ASKED, (seconds ?? 0) * 1000);
}
