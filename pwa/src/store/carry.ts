/** What one's own log holds, out of the phone and into another. */

import {
  PRIVATE_PLACES,
  type Private,
  type PrivateTaken,
  takeLanguage,
  takePrivate,
  takeSheet,
  withoutPhotos,
} from "./carry-private";
import { announce } from "./changes";
import { SHEET } from "./drafts";
import { markStale } from "./figures";
import { keep } from "./keep";
import { readLanguage } from "./language";
import { run } from "./open";
import { enqueue, waitingNote } from "./outbox";
import type { OwnTest, Place, Settings, SourceRow, SyncNote, Tank, TubeRow, Writing } from "./schema";
import { asSent } from "./sealed";
import { hasPosition, SOURCE_PLACES, shareSource } from "./sources";
import { wholeTube } from "./tube-row";

export interface Carried extends Private {
  tests: OwnTest[];
  /** One's own, and those that the tests and plans name. */
  sources: SourceRow[];
  tubes: TubeRow[];
}

export interface TakenIn extends PrivateTaken {
  tests: number;
  sources: number;
  tubes: number;
  /** Tests that were here already, in the same or a newer revision. */
  known: number;
}

const CARRY_PLACES: Place[] = [...new Set<Place>([...SOURCE_PLACES, "tubes", ...PRIVATE_PLACES])];

export function carryOut(withPhotos = false): Promise<Carried> {
  return run(async (base) => {
    const reading = base.transaction(["own_tests", "sources", "tubes", ...PRIVATE_PLACES]);
    const [tests, all, tubes, plans, cans, photos, tank, settings, draft] = await Promise.all([
      reading.objectStore("own_tests").getAll(),
      reading.objectStore("sources").getAll(),
      reading.objectStore("tubes").getAll(),
      reading.objectStore("plans").getAll(),
      reading.objectStore("cans").getAll(),
      withPhotos ? reading.objectStore("photos").getAll() : [],
      reading.objectStore("settings").get("tank") as Promise<Tank | undefined>,
      reading.objectStore("settings").get("settings") as Promise<Partial<Settings> | undefined>,
      reading.objectStore("drafts").get(SHEET),
    ]);
    const named = new Set([...[...tests, ...plans].map((row) => row.source), draft?.source]);
    const sources = all.filter((row) => row.own || named.has(row.id));
    const sheet = draft === undefined ? null : withPhotos ? draft : withoutPhotos(draft);
    const facts = { tank: tank ?? null, settings: settings ?? null, sheet, language: readLanguage() };
    return { tests, sources, tubes, plans, cans, ...facts, photos };
  });
}

/** Takes everything in that is not here yet, in one transaction; what was waiting to be sent waits here. */
export async function carryIn({ tests, sources, tubes, ...more }: Carried): Promise<TakenIn> {
  const taken = await keep(CARRY_PLACES, async (writing) => {
    const counts: TakenIn = { tests: 0, sources: 0, tubes: 0, known: 0, ...(await takePrivate(writing, more)) };
    for (const row of sources) counts.sources += await takeSource(writing, row);
    for (const row of tubes) counts.tubes += await takeTube(writing, row);
    for (const row of tests) {
      const isNew = await takeTest(writing, row);
      counts.tests += isNew;
      counts.known += 1 - isNew;
    }
    counts.sheet = await takeSheet(writing, more.sheet);
    for (const id of new Set([...tests.map((row) => row.source), ...sources.map((row) => row.id)])) {
      await markStale(writing, id);
    }
    return counts;
  });
  announce("own_tests", "sources", "tubes", "figures", "outbox", ...PRIVATE_PLACES);
  return { ...taken, language: takeLanguage(more.language) };
}

async function takeSource(writing: Writing, row: SourceRow): Promise<0 | 1> {
  const store = writing.objectStore("sources");
  const old = await store.get(row.id);
  if (old !== undefined && old.revision >= row.revision) return 0;
  await store.put(isUnsent(row.sync) ? await shareSource(writing, row) : row);
  return 1;
}

async function takeTube(writing: Writing, row: TubeRow): Promise<0 | 1> {
  const store = writing.objectStore("tubes");
  if ((await store.getKey(row.id)) !== undefined) return 0;
  await store.put(wholeTube(row));
  return 1;
}

async function takeTest(writing: Writing, row: OwnTest): Promise<0 | 1> {
  const store = writing.objectStore("own_tests");
  const old = await store.get(row.id);
  if (old !== undefined && (old.retracted || old.test.revision >= row.test.revision)) return 0;
  await store.put(isUnsent(row.sync) ? { ...row, sync: await queueAgain(writing, row) } : row);
  return 1;
}

function isUnsent(note: SyncNote | null): boolean {
  return note?.state === "waiting" || note?.state === "needs_position" || note?.state === "refused";
}

async function queueAgain(writing: Writing, row: OwnTest): Promise<SyncNote> {
  const source = await writing.objectStore("sources").get(row.source);
  if (source === undefined || !hasPosition(source)) return waitingNote("needs_position", row.sync);
  const { id, test } = row;
  const record = row.retracted
    ? ({ kind: "test", id, revision: test.revision + 1, retracted: true } as const)
    : asSent(test);
  await enqueue(writing, { kind: "test", id, revision: record.revision, source: row.source, record });
  return waitingNote("waiting", row.sync);
}
