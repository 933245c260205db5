/**
 * Export and import of the person's own log.
 *
 * A file never undoes what is here: a later revision, plan or tank stays; settings and language are added only if none
 * are set, the run sheet only if none is started. A sheet filled in on two phones has one id, so it becomes one test,
 * and the server says so to the second phone.
 */

import type { SourceRow } from "../rows/source";
import type { Stars } from "../rows/star";
import type { OwnTest, SyncNote } from "../rows/test";
import type { TubeRow } from "../rows/tube";
import { wholeTube } from "../rows/tube";
import type { Vehicles } from "../rows/vehicle";
import { announce } from "./changes";
import { SHEET } from "./drafts";
import type { StoredSettings } from "./facts";
import { markStale } from "./figure-rows";
import { recordId } from "./identity";
import { keep } from "./keep";
import { readLanguage } from "./language";
import { run } from "./open";
import { waitingNote, withdraw } from "./outbox";
import type { Place, Writing } from "./schema";
import { selfIn } from "./settings";
import { SOURCE_PLACES } from "./sources";
import { starRows } from "./stars";
import { isOfThisPhone, queueRetraction } from "./tests";
import {
  importLanguage,
  importPrivate,
  importSheet,
  PRIVATE_PLACES,
  type Private,
  type PrivateCounts,
  withoutPhotos,
} from "./transfer-private";

export interface LogContent extends Private {
  tests: OwnTest[];
  /** The person's own, and those named by tests, plans and stars. */
  sources: SourceRow[];
  tubes: TubeRow[];
}

export interface ImportCounts extends PrivateCounts {
  tests: number;
  sources: number;
  tubes: number;
  /** Tests that were already here, in the same or a newer revision. */
  known: number;
  /** Ids of the person's own unsent tests. They stay here until the person shares them. */
  unsent: string[];
  /** The number of other people's unsent tests: their own phones send them. */
  foreign: number;
}

const IMPORT_PLACES: Place[] = [...new Set<Place>([...SOURCE_PLACES, "tubes", ...PRIVATE_PLACES])];

export function exportLog(withPhotos = false): Promise<LogContent> {
  return run(async (base) => {
    const reading = base.transaction(["own_tests", "sources", "tubes", ...PRIVATE_PLACES]);
    const [tests, all, tubes, plans, cans, fills, photos, starred, vehicles, settings, draft] = await Promise.all([
      reading.objectStore("own_tests").index("by_kept").getAll(),
      reading.objectStore("sources").getAll(),
      reading.objectStore("tubes").getAll(),
      reading.objectStore("plans").getAll(),
      reading.objectStore("cans").getAll(),
      reading.objectStore("fills").getAll(),
      withPhotos ? reading.objectStore("photos").getAll() : [],
      reading.objectStore("settings").get("stars") as Promise<Stars | undefined>,
      reading.objectStore("settings").get("vehicles") as Promise<Vehicles | undefined>,
      reading.objectStore("settings").get("settings") as Promise<StoredSettings | undefined>,
      reading.objectStore("drafts").get(SHEET),
    ]);
    const stars = starRows(starred);
    const named = new Set([...[...tests, ...plans, ...stars].map((row) => row.source), draft?.source]);
    const sources = all.filter((row) => row.own || named.has(row.id));
    const sheet = draft === undefined ? null : withPhotos ? draft : withoutPhotos(draft);
    const facts = { vehicles: vehicles ?? null, settings: settings ?? null, sheet, language: readLanguage() };
    return { tests, sources, tubes, plans, stars, cans, fills, ...facts, photos };
  });
}

/** A file's content and its writer's public id. */
export type ImportedLog = LogContent & { contributor: string };

/**
 * Adds everything that is not here yet, in one transaction. Nothing of it is sent: the person's unsent tests stay here
 * until the person shares them, and another contributor's tests are never sent by this phone. Only the withdrawal of an
 * own record is still sent.
 */
export async function importLog({ tests, sources, tubes, contributor, ...more }: ImportedLog): Promise<ImportCounts> {
  const fresh = more.sheet && (await recordId(new Date()));
  const taken = await keep(IMPORT_PLACES, async (writing) => {
    const self = await selfIn(writing);
    const isOwn = contributor === self;
    const tally = { tests: 0, sources: 0, tubes: 0, known: 0, unsent: [], foreign: 0 };
    const counts: ImportCounts = { ...tally, ...(await importPrivate(writing, more)) };
    for (const row of sources) counts.sources += await importSource(writing, row, isOwn, contributor);
    for (const row of tubes) counts.tubes += await importTube(writing, row);
    const waiting = new Set(more.photos.filter((row) => row.state === "waiting").map((row) => row.digest));
    for (const row of tests) {
      const author = row.author ?? contributor;
      await importTest(writing, author === self ? row : { ...row, author }, waiting, counts);
    }
    counts.sheet = await importSheet(writing, more.sheet, isOwn ? null : fresh);
    for (const id of new Set([...tests.map((row) => row.source), ...sources.map((row) => row.id)])) {
      await markStale(writing, id);
    }
    return counts;
  });
  announce("own_tests", "sources", "tubes", "figures", "outbox", ...PRIVATE_PLACES);
  return { ...taken, language: importLanguage(more.language) };
}

/** Another contributor's source is somebody else's here, too: only its author may change it. */
async function importSource(writing: Writing, row: SourceRow, isOwn: boolean, contributor: string): Promise<0 | 1> {
  const store = writing.objectStore("sources");
  const old = await store.get(row.id);
  const becomesOwn = row.own && isOwn && old !== undefined && !old.own;
  if (old !== undefined && old.revision >= row.revision && !becomesOwn) return 0;
  if (row.own && !isOwn) await store.put({ ...row, own: false, contributor, sync: null });
  else await store.put(isUnsent(row.sync) ? { ...row, sync: waitingNote("imported", row.sync) } : row);
  return 1;
}

async function importTube(writing: Writing, row: TubeRow): Promise<0 | 1> {
  const store = writing.objectStore("tubes");
  if ((await store.getKey(row.id)) !== undefined) return 0;
  await store.put(wholeTube(row));
  return 1;
}

/** waiting: digests of the file's photos that were still to be sent. */
async function importTest(
  writing: Writing,
  row: OwnTest,
  waiting: ReadonlySet<string>,
  counts: ImportCounts,
): Promise<void> {
  const store = writing.objectStore("own_tests");
  const old = await store.get(row.id);
  if (old !== undefined && (old.retracted || old.test.revision >= row.test.revision || isOfOther(row, old))) {
    counts.known += 1;
    return;
  }
  counts.tests += 1;
  if (row.retracted) {
    await store.put(isUnsent(row.sync) ? { ...row, sync: await queueRetraction(writing, row) } : row);
    return;
  }
  const isSent = !isUnsent(row.sync) && !row.test.photos.some((digest) => waiting.has(digest));
  await store.put(isSent ? row : { ...row, shared: false, sync: waitingNote("imported", row.sync) });
  if (isSent) return;
  await withdraw(writing, "test", row.id);
  if (await isOfThisPhone(writing, row)) counts.unsent.push(row.id);
  else counts.foreign += 1;
}

/** A test that is already here keeps its author, whatever a file says. */
function isOfOther({ author }: OwnTest, old: OwnTest): boolean {
  return author !== undefined && author !== old.author;
}

function isUnsent(note: SyncNote | null): boolean {
  return note !== null && ["waiting", "needs_position", "refused", "imported"].includes(note.state);
}
