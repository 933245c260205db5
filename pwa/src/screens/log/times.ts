/** The two times of a test while they are corrected. */

import { rfc3339 } from "../../i18n/format";
import { isOff } from "../../model/clock";
import type { Times } from "../../store/times";

/** ms; fuel is drawn before it is tested, with the server's tolerance for a clock that was set in between. */
const SLACK = 60 * 60_000;
/** As on the server: a clock that was never set shows an earlier date. */
const EARLIEST = Date.UTC(2000, 0, 1);

export interface TimesFault {
  field: keyof Times;
  code: "early" | "ahead" | "order";
}

/** The latest possible time now, ms: by the phone's clock, corrected if that is known to be behind. */
export function latestNow(now: number, behind: number | null): number {
  return now + (isOff(behind) ? Math.max(0, behind) : 0);
}

/** Both times shifted by this many ms. */
export function moved({ sampled_at, tested_at }: Times, by: number): Times {
  const later = (at: string) => rfc3339(new Date(Date.parse(at) + by));
  return { sampled_at: later(sampled_at), tested_at: later(tested_at) };
}

/** A new time of sampling; if it would be after the test, the test moves with it. */
export function follow(times: Times, sampled_at: string): Times {
  const by = Date.parse(sampled_at) - Date.parse(times.sampled_at);
  const isAfter = Date.parse(sampled_at) > Date.parse(times.tested_at);
  return { sampled_at, tested_at: isAfter ? moved(times, by).tested_at : times.tested_at };
}

/** What is wrong with the times; null if nothing. */
export function timesFault({ sampled_at, tested_at }: Times, now: number): TimesFault | null {
  const [sampled, tested] = [Date.parse(sampled_at), Date.parse(tested_at)];
  if (sampled < EARLIEST) return { field: "sampled_at", code: "early" };
  if (tested < EARLIEST) return { field: "tested_at", code: "early" };
  if (sampled > now) return { field: "sampled_at", code: "ahead" };
  if (tested > now) return { field: "tested_at", code: "ahead" };
  return sampled - tested > SLACK ? { field: "sampled_at", code: "order" } : null;
}
