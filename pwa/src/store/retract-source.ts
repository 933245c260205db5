/**
 * Withdrawing a source of your own, as long as no test depends on it. The row stays until the server agrees, because
 * others may have tested there meanwhile.
 */

import type { Draft } from "../rows/draft";
import type { MergedRow } from "../rows/source";
import type { OwnTest } from "../rows/test";
import { announce } from "./changes";
import { SHEET } from "./drafts";
import { keep } from "./keep";
import { mergedInto } from "./merges";
import { run } from "./open";
import { enqueue, staysHere, waitingNote, withdraw } from "./outbox";
import type { Place, Writing } from "./schema";
import { SOURCE_PLACES } from "./sources";

/** Why a source cannot be withdrawn: the person's own tests, other people's tests, or the open run sheet. */
export type Obstacle = "own_tests" | "others" | "sheet";

const PLACES: Place[] = [...new Set<Place>([...SOURCE_PLACES, "drafts", "plans"])];

/** The reason why the person's own source cannot be withdrawn; null if it can. */
export function obstacleTo(id: string): Promise<Obstacle | null> {
  return run((base) => {
    const reading = base.transaction(["own_tests", "pulled_tests", "merged", "drafts"]);
    const [own_tests, pulled_tests] = [reading.objectStore("own_tests"), reading.objectStore("pulled_tests")];
    return obstacleIn(
      { own_tests, pulled_tests, merged: reading.objectStore("merged"), drafts: reading.objectStore("drafts") },
      id,
    );
  });
}

/**
 * Withdraws a source unless a test depends on it: one that the server never saw is deleted at once, any other once the
 * server agrees.
 */
export async function retractSource(id: string): Promise<Obstacle | null> {
  const obstacle = await keep(PLACES, async (writing) => {
    const row = await writing.objectStore("sources").get(id);
    if (row === undefined || !row.own || row.retracting) return null;
    const [own_tests, pulled_tests] = [writing.objectStore("own_tests"), writing.objectStore("pulled_tests")];
    const looking = {
      own_tests,
      pulled_tests,
      merged: writing.objectStore("merged"),
      drafts: writing.objectStore("drafts"),
    };
    const held = await obstacleIn(looking, id);
    if (held !== null) return held;
    await writing.objectStore("plans").delete(id);
    const known = row.sync !== null && row.sync.revision !== null;
    const neverTried = await withdraw(writing, "source", id);
    const isHere = row.sync !== null && (staysHere(row.sync) || row.sync.state === "needs_position");
    if (!known && (neverTried || isHere)) {
      await forget(writing, id);
      return null;
    }
    const revision = row.revision + 1;
    const record = { kind: "source", id, revision, retracted: true } as const;
    await enqueue(writing, { kind: "source", id, revision, source: id, record });
    await writing.objectStore("sources").put({ ...row, retracting: true, sync: waitingNote("waiting", row.sync) });
    return null;
  });
  announce("sources", "figures", "outbox", "plans");
  return obstacle;
}

async function forget(writing: Writing, id: string): Promise<void> {
  await writing.objectStore("sources").delete(id);
  await writing.objectStore("figures").delete(id);
}

interface Looking {
  own_tests: { index(name: "by_source"): { getAll(id: string): Promise<OwnTest[]> } };
  pulled_tests: { index(name: "by_source"): { getAllKeys(id: string): Promise<string[]> } };
  merged: {
    get(id: string): Promise<MergedRow | undefined>;
    index(name: "by_into"): { getAllKeys(id: string): Promise<string[]> };
  };
  drafts: { get(name: string): Promise<Draft | undefined> };
}

async function obstacleIn(at: Looking, id: string): Promise<Obstacle | null> {
  for (const one of await mergedInto(at.merged, id)) {
    const own = await at.own_tests.index("by_source").getAll(one);
    if (own.some((row) => !row.retracted)) return "own_tests";
    const mine = new Set(own.map((row) => row.id));
    const pulled = await at.pulled_tests.index("by_source").getAllKeys(one);
    if (pulled.some((test) => !mine.has(test))) return "others";
  }
  return (await at.drafts.get(SHEET))?.source === id ? "sheet" : null;
}
