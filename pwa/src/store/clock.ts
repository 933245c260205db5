/** What is known of this phone's clock, and the tests that were kept by it while it was wrong. */

import { isOff } from "../model/clock";
import { announce } from "./changes";
import type { Facts } from "./facts";
import { write } from "./open";
import type { Writing } from "./schema";

/** Of tests that no server has been asked about since, the newest; without a server nobody waits for an answer. */
const MOST_UNCHECKED = 200;

/** Notes that a test has the times of a clock that no server was asked about since, inside the transaction that keeps it. */
export async function noteUnchecked(writing: Writing, id: string): Promise<void> {
  const settings = writing.objectStore("settings");
  const known = ((await settings.get("unchecked")) ?? []) as Facts["unchecked"];
  await settings.put([...known.slice(1 - MOST_UNCHECKED), id], "unchecked");
}

/** Notes how far the clock was behind a server's, ms; the tests kept since the last such note bear it where it is off. */
export async function noteClock(behind: number, now: Date): Promise<void> {
  await write(["settings", "own_tests"], async (writing) => {
    const settings = writing.objectStore("settings");
    const tests = writing.objectStore("own_tests");
    for (const id of isOff(behind) ? (((await settings.get("unchecked")) ?? []) as Facts["unchecked"]) : []) {
      const row = await tests.get(id);
      if (row !== undefined) await tests.put({ ...row, clock_behind: behind });
    }
    await settings.delete("unchecked");
    await settings.put({ behind, checked_at: now.toISOString() } satisfies Facts["clock"], "clock");
  });
  announce("settings", ...(isOff(behind) ? (["own_tests"] as const) : []));
}
