/** One's own tests. Once kept, a test is sealed: a change is a new revision, and taking it back leaves a mark. */

import type { SourceRow } from "../rows/source";
import type { OwnTest, SealedTest, SyncNote } from "../rows/test";
import { announce } from "./changes";
import { noteUnchecked } from "./clock";
import { correctionKey, SHEET } from "./drafts";
import { markStale } from "./figure-rows";
import { keep } from "./keep";
import { standsFor } from "./merges";
import { run } from "./open";
import { enqueue, staysHere, waitingNote, withdraw } from "./outbox";
import { holdPhotos } from "./photos";
import { withRevision } from "./revision";
import type { Place, Reading, Writing } from "./schema";
import { asSent } from "./sealed";
import { selfIn } from "./settings";
import { hasPosition, SOURCE_PLACES, shareSource } from "./sources";

/** A test ready to be kept, with the two parts of its standard uncertainty as the result gave them, %. */
export interface Keeping {
  test: SealedTest;
  own_uncertainty: number;
  shared_uncertainty: number;
  shared: boolean;
  unshared_photos?: readonly string[];
}

const KEEP_PLACES: Place[] = [...SOURCE_PLACES, "drafts"];

/**
 * Keeps a test: the record and its place in the queue in one transaction, on the disk when this resolves; the figures
 * of its source are marked and follow. The draft it came from is gone with it. Keeping it twice keeps it once.
 */
export async function keepTest(keeping: Keeping, now: Date): Promise<OwnTest> {
  const kept = await keep(KEEP_PLACES, async (writing) => {
    const tests = writing.objectStore("own_tests");
    await dropDraftOf(writing, keeping.test.id);
    const old = await tests.get(keeping.test.id);
    if (old !== undefined) return old;
    const row = rowOf(keeping, now);
    row.sync = await queueTest(writing, row);
    await tests.add(row);
    await noteUnchecked(writing, row.id);
    await markStale(writing, row.source);
    return row;
  });
  announce("own_tests", "outbox", "figures", "sources", "drafts");
  return kept;
}

/** What may change in a kept test. */
export interface Revision {
  note?: string;
  /** Sharing can begin later; to end it, take the test back. */
  shared?: true;
  unshared_photos?: readonly string[];
}

/** A new revision of a test. The old one stays on the phone. */
export async function reviseTest(id: string, change: Revision): Promise<void> {
  await reviseTests([id], change);
}

/** The same change in several tests, in one transaction. */
export async function reviseTests(ids: readonly string[], change: Revision): Promise<void> {
  await keep(KEEP_PLACES, async (writing) => {
    for (const id of ids) await reviseOne(writing, id, change);
  });
  announce("own_tests", "outbox", "figures", "sources");
}

async function reviseOne(writing: Writing, id: string, change: Revision): Promise<void> {
  const old = await writing.objectStore("own_tests").get(id);
  if (old === undefined || old.retracted) return;
  const row: OwnTest = { ...old, shared: change.shared ?? old.shared };
  if (change.unshared_photos !== undefined) row.unshared_photos = change.unshared_photos;
  if (change.note !== undefined && change.note !== old.test.note) {
    Object.assign(row, withRevision(row, { ...old.test, note: change.note }));
  }
  row.sync = await queueTest(writing, row);
  await writing.objectStore("own_tests").put(row);
  await markStale(writing, row.source);
}

/** Takes a test back: it counts no longer, and the server is told if it may know it. */
export async function retractTest(id: string): Promise<void> {
  await keep(KEEP_PLACES, async (writing) => {
    const tests = writing.objectStore("own_tests");
    const old = await tests.get(id);
    if (old === undefined || old.retracted) return;
    await tests.put({ ...old, retracted: true, sync: await queueRetraction(writing, old) });
    await holdPhotos(writing, old.test.photos);
    await writing.objectStore("drafts").delete(correctionKey(id));
    await markStale(writing, old.source);
  });
  announce("own_tests", "outbox", "figures", "photos");
}

/** Undoes the taking back of a test that never left this phone; row: as it was. */
export async function restoreTest(row: OwnTest): Promise<void> {
  await keep(KEEP_PLACES, async (writing) => {
    const now = await writing.objectStore("own_tests").get(row.id);
    if (now?.retracted !== true || !staysHere(now.sync) || now.sync.revision !== null) return;
    await writing.objectStore("own_tests").put(row);
    await markStale(writing, row.source);
  });
  announce("own_tests", "figures");
}

/** How many tests this phone holds. */
export function countTests(): Promise<number> {
  return run((base) => base.count("own_tests"));
}

export function readTest(id: string): Promise<OwnTest | undefined> {
  return run((base) => base.get("own_tests", id));
}

/** A line of the log. */
export interface LogLine {
  row: OwnTest;
  name: string;
  pump: string;
}

export interface LogQuestion {
  limit: number;
  /** Words to look for in the source's name, the pump and the note. */
  search?: string;
}

export interface LogPage {
  lines: LogLine[];
  /** How many there are in all, or how many fit the search. */
  total: number;
  /** The words this page answers. */
  search: string;
}

/** The tests kept last first. */
export async function listTests({ limit, search = "" }: LogQuestion): Promise<LogPage> {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return run(async (base) => {
    const reading = base.transaction(["own_tests", "sources", "merged"]);
    const tests = reading.objectStore("own_tests");
    const byKept = tests.index("by_kept");
    const names = namer((id) => shownSource(reading, id));
    if (words.length === 0) {
      const total = await tests.count();
      const newest = await byKept.openKeyCursor(null, "prev");
      const oldest = limit > 1 && limit < total ? await newest?.advance(limit - 1) : newest;
      const rows = await byKept.getAll(limit < total && oldest ? IDBKeyRange.lowerBound(oldest.key) : null);
      return { lines: await Promise.all(rows.reverse().slice(0, limit).map(names)), total, search };
    }
    const all = await Promise.all((await byKept.getAll()).reverse().map(names));
    const fitting = all.filter((line) => words.every((word) => wordsOf(line).includes(word)));
    return { lines: fitting.slice(0, limit), total: fitting.length, search };
  });
}

/** The tests that were made in a tube and not taken back, newest first. */
export async function listTestsIn(tube: string): Promise<LogLine[]> {
  return run(async (base) => {
    const reading = base.transaction(["own_tests", "sources", "merged"]);
    const rows = await reading.objectStore("own_tests").index("by_tube").getAll(tube);
    const names = namer((id) => shownSource(reading, id));
    return Promise.all(
      rows
        .filter((row) => !row.retracted)
        .sort((a, b) => Date.parse(b.kept_at) - Date.parse(a.kept_at))
        .map(names),
    );
  });
}

/** The source under whose name a test is shown; the merged one itself where the other is not on this phone yet. */
async function shownSource(reading: Reading, id: string): Promise<SourceRow | undefined> {
  const sources = reading.objectStore("sources");
  return (await sources.get(await standsFor(reading.objectStore("merged"), id))) ?? sources.get(id);
}

function namer(find: (id: string) => Promise<{ name: string; pump: string } | undefined>) {
  const known = new Map<string, ReturnType<typeof find>>();
  return async (row: OwnTest): Promise<LogLine> => {
    const asked = known.get(row.source) ?? find(row.source);
    known.set(row.source, asked);
    const source = await asked;
    return { row, name: source?.name ?? "", pump: source?.pump ?? "" };
  };
}

function wordsOf({ row, name, pump }: LogLine): string {
  return `${name} ${pump} ${row.test.note} ${row.test.tested_at.slice(0, 10)}`.toLowerCase();
}

function rowOf(
  { test, own_uncertainty, shared_uncertainty, shared, unshared_photos = [] }: Keeping,
  now: Date,
): OwnTest {
  return {
    id: test.id,
    source: test.source,
    tested_at: test.tested_at,
    test,
    earlier: [],
    own_uncertainty,
    shared_uncertainty,
    shared,
    ...(unshared_photos.length > 0 && { unshared_photos }),
    retracted: false,
    kept_at: now.toISOString(),
    sync: waitingNote("private"),
    server_content: null,
    server_uncertainty: null,
  };
}

/** Whether this phone may send a test: it made it, or has taken over the identity of the phone that did. */
export async function isOfThisPhone(writing: Writing, row: OwnTest): Promise<boolean> {
  return isBy(row, await selfIn(writing));
}

/** Whether a test on a contributor's phone is the contributor's own. */
export function isBy({ author }: OwnTest, contributor: string | null): boolean {
  return author === undefined || author === contributor;
}

/** Puts a shared test, and its source if that was private, in the queue; gives the state to show. */
export async function queueTest(writing: Writing, row: OwnTest): Promise<SyncNote> {
  if (!(await isOfThisPhone(writing, row))) return waitingNote("imported", row.sync);
  if (!row.shared) return waitingNote(row.sync.state === "imported" ? "imported" : "private", row.sync);
  const sources = writing.objectStore("sources");
  const source = await sources.get(row.source);
  if (source?.own && source.sync !== null && staysHere(source.sync))
    await sources.put(await shareSource(writing, source));
  if (source !== undefined && !hasPosition(source)) return waitingNote("needs_position", row.sync);
  const { id, revision } = row.test;
  await enqueue(writing, { kind: "test", id, revision, source: row.source, record: asSent(row) });
  return waitingNote("waiting", row.sync);
}

/** Puts the taking back of a test in the queue, if the server may know it; gives the state to show. */
export async function queueRetraction(writing: Writing, row: OwnTest): Promise<SyncNote> {
  if (!(await isOfThisPhone(writing, row))) return waitingNote("imported", row.sync);
  const known = row.sync.revision !== null;
  const neverTried = await withdraw(writing, "test", row.id);
  if (!known && (neverTried || staysHere(row.sync) || row.sync.state === "needs_position")) {
    return waitingNote("private");
  }
  const revision = row.test.revision + 1;
  const record = { kind: "test", id: row.id, revision, retracted: true } as const;
  await enqueue(writing, { kind: "test", id: row.id, revision, source: row.source, record });
  return waitingNote("waiting", row.sync);
}

async function dropDraftOf(writing: Writing, id: string): Promise<void> {
  const drafts = writing.objectStore("drafts");
  const draft = await drafts.get(SHEET);
  if (draft?.id === id) await drafts.delete(SHEET);
}
