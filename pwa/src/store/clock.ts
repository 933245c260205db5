/** What is known about this phone's clock, and the tests saved while it was wrong. */

import { isOff } from "../model/clock";
import { announce } from "./changes";
import type { Facts } from "./facts";
import { write } from "./open";
import type { Writing } from "./schema";

/** The most unchecked tests to remember, the newest ones; without a server the list would only grow. */
const MOST_UNCHECKED = 200;

/** Notes that a test's times are by a clock not yet compared with a server's, inside the transaction that saves it. */
export async function noteUnchecked(writing: Writing, id: string): Promise<void> {
  const settings = writing.objectStore("settings");
  const known = ((await settings.get("unchecked")) ?? []) as Facts["unchecked"];
  await settings.put([...known.slice(1 - MOST_UNCHECKED), id], "unchecked");
}

/** Saves how far the clock was behind a server's, ms; if it is off, marks the tests saved since the last comparison. */
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
