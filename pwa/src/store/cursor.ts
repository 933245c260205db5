/**
 * Writes what a pull brings together with its cursor, in one transaction, so that no change is lost or half written.
 *
 * A cursor belongs to a server and to the regions asked for. If either changes, the pull starts again and deletes what
 * earlier ones brought, so the phone has only the chosen regions; the person's own records stay.
 */

import type { Change, SourceChange, TestChange } from "../records";
import type { SourceRow } from "../rows/source";
import { announce } from "./changes";
import type { Facts } from "./facts";
import { markStale } from "./figure-rows";
import { applyMerge } from "./merges";
import { write } from "./open";
import { applyOwn, owe } from "./own-changes";
import { afterRefusal, takenOver, withheld } from "./own-sources";
import type { Place, Writing } from "./schema";
import { readFact, selfIn } from "./settings";

const PULL_PLACES: Place[] = ["own_tests", "pulled_tests", "sources", "merged", "figures", "settings"];

/** Where the last pull of these regions from this server ended; null: start at the beginning. */
export async function readCursor(server: string, regions: readonly string[] = []): Promise<string | null> {
  const found = await readFact("cursor");
  const isSame = found?.server === server && (found.regions ?? []).join() === regions.join();
  return isSame ? found.cursor : null;
}

/**
 * Writes a page of changes. `fresh`: the first page of a pull from the beginning, so what earlier pulls brought is
 * deleted first. Returns false, and writes nothing, if the pull was reset since the page was requested.
 */
export async function applyPage(changes: Change[], cursor: Facts["cursor"], fresh: boolean): Promise<boolean> {
  const isWanted = await write(PULL_PLACES, async (writing) => {
    if (!fresh && (await writing.objectStore("settings").get("cursor")) === undefined) return false;
    const touched = new Set<string>();
    if (fresh) await forgetPulled(writing, touched);
    const self = await selfIn(writing);
    for (const change of changes) {
      if (change.kind === "source") await applySource(writing, change, self, touched, false);
      else if (change.kind === "test") await applyTest(writing, change, self, touched);
    }
    for (const id of touched) await markStale(writing, id);
    await writing.objectStore("settings").put(cursor, "cursor");
    return true;
  });
  if (isWanted) announce("sources", "merged", "pulled_tests", "own_tests", "figures");
  return isWanted;
}

/** The person's own records of which only the public version has arrived. */
export async function readOwed(): Promise<readonly string[]> {
  return (await readFact("owed")) ?? [];
}

/** Writes the person's own records as they were sent. asked: the ids requested. */
export async function applyWhole(changes: Change[], asked: readonly string[]): Promise<void> {
  await write(PULL_PLACES, async (writing) => {
    const touched = new Set<string>();
    const self = await selfIn(writing);
    for (const change of changes) {
      if (change.kind === "source") await applySource(writing, change, self, touched, true);
      else {
        const moved = await applyOwn(writing, change, self, true);
        if (moved !== null) touched.add(moved);
      }
    }
    for (const id of touched) await markStale(writing, id);
    const settings = writing.objectStore("settings");
    const owed = ((await settings.get("owed")) ?? []) as Facts["owed"];
    await settings.put(
      owed.filter((id) => !asked.includes(id)),
      "owed",
    );
  });
  announce("sources", "own_tests", "figures");
}

/** whole: the record is as it was sent, not the public version. */
async function applySource(
  writing: Writing,
  change: SourceChange,
  self: string | null,
  touched: Set<string>,
  whole: boolean,
) {
  const sources = writing.objectStore("sources");
  const old = await sources.get(change.id);
  touched.add(change.id);
  await applyMerge(writing, change, touched);
  const { record } = change;
  if (record === null) {
    // If the person's own tests still name the source, the row stays; otherwise it is deleted.
    const needed = await writing.objectStore("own_tests").index("by_source").count(change.id);
    if (old !== undefined && needed === 0 && (!old.own || change.retracted)) await sources.delete(change.id);
    else if (old !== undefined) await sources.put(withheld(old, change));
    return;
  }
  // Our edit is still in the queue, or waits on the server: it is newer than what the server sends.
  if (old?.own && old.revision > record.revision) {
    await sources.put({ ...afterRefusal(old, change), region: change.region, contributor: change.contributor });
    return;
  }
  const { kind: _, ...fields } = record;
  const own = old?.own ?? change.contributor === self;
  const row: SourceRow = { ...fields, own, region: change.region, contributor: change.contributor, sync: null };
  // The public version has no time of day; the same revision sent again must be identical.
  if (own && !whole && old?.revision === record.revision) row.recorded_at = old.recorded_at;
  else if (own && !whole) await owe(writing, record.id);
  if (own) row.sync = takenOver(old, change);
  await sources.put(row);
}

async function applyTest(writing: Writing, change: TestChange, self: string | null, touched: Set<string>) {
  const pulled = writing.objectStore("pulled_tests");
  const old = await pulled.get(change.id);
  if (old !== undefined) touched.add(old.source);
  const moved = await applyOwn(writing, change, self, false);
  if (moved !== null) touched.add(moved);
  const { record: test } = change;
  if (test === null) {
    await pulled.delete(change.id);
    return;
  }
  touched.add(test.source);
  const { id, region, received_at, revision, figures, flags } = change;
  const contributor = change.contributor ?? "";
  await pulled.put({ id, source: test.source, contributor, region, received_at, revision, test, figures, flags });
}

async function forgetPulled(writing: Writing, touched: Set<string>): Promise<void> {
  await writing.objectStore("pulled_tests").clear();
  await writing.objectStore("merged").clear();
  const sources = writing.objectStore("sources");
  for (const row of await sources.getAll()) {
    const needed = row.own || (await writing.objectStore("own_tests").index("by_source").count(row.id)) > 0;
    if (!needed) await sources.delete(row.id);
    touched.add(row.id);
  }
}
