/** The person's own tests. Once saved, a test is sealed: a change is a new revision, a withdrawal leaves a mark. */

import type { SourceRow } from "../rows/source";
import type { OwnTest, SealedTest, SyncNote } from "../rows/test";
import { announce } from "./changes";
import { noteUnchecked } from "./clock";
import { correctionKey, SHEET } from "./drafts";
import { markStale } from "./figure-rows";
import { keep } from "./keep";
import { representativeOf } from "./merges";
import { run } from "./open";
import { enqueue, staysHere, waitingNote, withdraw } from "./outbox";
import { unqueuePhotos } from "./photos";
import { withRevision } from "./revision";
import type { Place, Reading, Writing } from "./schema";
import { asSent } from "./sealed";
import { selfIn } from "./settings";
import { hasPosition, SOURCE_PLACES, shareSource } from "./sources";

/** A test ready to be saved, with the two parts of its standard uncertainty from the result, %. */
export interface NewTest {
  test: SealedTest;
  own_uncertainty: number;
  shared_uncertainty: number;
  shared: boolean;
  unshared_photos?: readonly string[];
}

const SAVE_PLACES: Place[] = [...SOURCE_PLACES, "drafts"];

/**
 * Saves a test: the record and its outbox entry in one transaction, on the disk when this resolves; its source is
 * marked stale. The draft it came from is deleted. Saving it twice saves it once.
 */
export async function saveTest(keeping: NewTest, now: Date): Promise<OwnTest> {
  const { id } = keeping.test;
  const [kept] = await keep(SAVE_PLACES, (writing) =>
    Promise.all([addTest(writing, rowOf(keeping, now)), dropDraftOf(writing, id)]),
  );
  announce("own_tests", "outbox", "figures", "sources", "drafts");
  return kept;
}

/** What does not depend on each other is asked for at once: on a slow phone each answer takes its time. */
async function addTest(writing: Writing, row: OwnTest): Promise<OwnTest> {
  const tests = writing.objectStore("own_tests");
  const old = await tests.get(row.id);
  if (old !== undefined) return old;
  const add = async () => {
    row.sync = await queueTest(writing, row);
    await tests.add(row);
  };
  await Promise.all([add(), noteUnchecked(writing, row.id), markStale(writing, row.source)]);
  return row;
}

/** What may change in a saved test. */
export interface Revision {
  note?: string;
  /** Sharing can start later; to end it, withdraw the test. */
  shared?: true;
  unshared_photos?: readonly string[];
}

/** A new revision of a test. The old one stays on the phone. */
export async function reviseTest(id: string, change: Revision): Promise<void> {
  await reviseTests([id], change);
}

/** The same change in several tests, in one transaction. */
export async function reviseTests(ids: readonly string[], change: Revision): Promise<void> {
  await keep(SAVE_PLACES, async (writing) => {
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

/** Withdraws a test: it no longer counts, and the server is notified if it may have it. */
export async function retractTest(id: string): Promise<void> {
  await keep(SAVE_PLACES, async (writing) => {
    const tests = writing.objectStore("own_tests");
    const old = await tests.get(id);
    if (old === undefined || old.retracted) return;
    await tests.put({ ...old, retracted: true, sync: await queueRetraction(writing, old) });
    await unqueuePhotos(writing, old.test.photos);
    await writing.objectStore("drafts").delete(correctionKey(id));
    await markStale(writing, old.source);
  });
  announce("own_tests", "outbox", "figures", "photos");
}

/** Undoes the withdrawal of a test that never left this phone; row: its earlier state. */
export async function restoreTest(row: OwnTest): Promise<void> {
  await keep(SAVE_PLACES, async (writing) => {
    const now = await writing.objectStore("own_tests").get(row.id);
    if (now?.retracted !== true || !staysHere(now.sync) || now.sync.revision !== null) return;
    await writing.objectStore("own_tests").put(row);
    await markStale(writing, row.source);
  });
  announce("own_tests", "figures");
}

/** The number of tests on this phone. */
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
  /** Words to search for in the source's name, the pump and the note. */
  search?: string;
}

export interface LogPage {
  lines: LogLine[];
  /** The number in total, or of those that match the search. */
  total: number;
  /** The search that this page answers. */
  search: string;
}

/** The tests, last saved first. */
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

/** The tests made in a tube and not withdrawn, newest first. */
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

/** The source whose name a test is shown under; the merged one itself if the other is not on this phone yet. */
async function shownSource(reading: Reading, id: string): Promise<SourceRow | undefined> {
  const sources = reading.objectStore("sources");
  return (await sources.get(await representativeOf(reading.objectStore("merged"), id))) ?? sources.get(id);
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
  { test, own_uncertainty, shared_uncertainty, shared, unshared_photos = [] }: NewTest,
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
  return row.author === undefined || isBy(row, await selfIn(writing));
}

/** Whether a test belongs to a contributor, on the contributor's own phone. */
export function isBy({ author }: OwnTest, contributor: string | null): boolean {
  return author === undefined || author === contributor;
}

/** Queues a shared test, and its source if that was private; returns the state to show. */
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

/** Queues the withdrawal of a test if the server may have it; returns the state to show. */
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
