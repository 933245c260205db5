/** Sources: the person's own, and those from pulls. */

import { isOfSource } from "../model/later-version";
import type { Source } from "../records";
import type { FiguresRow, SourceRow } from "../rows/source";
import type { OwnTest, PulledTest } from "../rows/test";
import type { Season } from "../statistics/season";
import { announce } from "./changes";
import type { Identity } from "./facts";
import { addFigures, FIGURES_PLACES, markStale } from "./figure-rows";
import { recordId } from "./identity";
import { keep } from "./keep";
import { mergedInto, representativeOf } from "./merges";
import { run } from "./open";
import { enqueue, OUTBOX_PLACES, staysHere, waitingNote } from "./outbox";
import { priorsAt } from "./priors";
import { counts, dateOf, NAMELESS } from "./readings";
import type { Place, Writing } from "./schema";
import { asSent } from "./sealed";
import { isEstablished, weightsAt } from "./weights";

export const SOURCE_PLACES: Place[] = [...new Set([...FIGURES_PLACES, ...OUTBOX_PLACES])];

/** A person's entries about a source; the position may be added later. */
export interface SourceEntry {
  name: string;
  pump: string;
  notes: string;
  latitude: number | null;
  longitude: number | null;
  /** ISO 3166-2, confirmed by the person near a border, else null. */
  subdivision: string | null;
}

/** One test at a source, the person's own or somebody else's. */
export interface SourceTest {
  id: string;
  own: boolean;
  contributor: string;
  sampled: "pump" | "can" | "tank";
  sampled_at: string;
  content: number;
  expanded_uncertainty: number;
  /** Water in the fuel, as used in the computation, % (V/V). */
  fuel_water: number;
  /** False: shown, but not part of the figures. */
  counted: boolean;
  /** True for a test of a visit treated as a gross error. */
  wrong: boolean;
  /** False while its contributor is new: it has a small weight, and is not evidence. */
  weighed: boolean;
  note: string;
  photos: string[];
}

/** The part of a test that comes from its own record. */
type TestFacts = Omit<SourceTest, "wrong" | "weighed">;

export interface SourcePage {
  source: SourceRow;
  figures: FiguresRow | undefined;
  /** Newest first. */
  tests: SourceTest[];
  /** The season of the source's region; null until learned. */
  season: Season | null;
}

export function listSources(): Promise<SourceRow[]> {
  return run((base) => base.getAll("sources"));
}

/** A source with the tests of all sources merged into it; for a merged one, the source that represents it. */
export async function readSource(asked: string): Promise<SourcePage | undefined> {
  return run(async (base) => {
    const reading = base.transaction(["sources", "merged", "figures", "own_tests", "pulled_tests", "settings"]);
    const merged = reading.objectStore("merged");
    const id = await representativeOf(merged, asked);
    const ids = await mergedInto(merged, id);
    const [source, figures, own, pulled] = await Promise.all([
      reading.objectStore("sources").get(id),
      reading.objectStore("figures").get(id),
      Promise.all(ids.map((one) => reading.objectStore("own_tests").index("by_source").getAll(one))),
      Promise.all(ids.map((one) => reading.objectStore("pulled_tests").index("by_source").getAll(one))),
    ]);
    if (source === undefined) return undefined;
    const mine = new Set(own.flat().map((row) => row.id));
    const others = pulled.flat().filter((row) => !mine.has(row.id));
    const settings = reading.objectStore("settings");
    const identity = (await settings.get("identity")) as Identity | undefined;
    const isWrong = wrongAt(figures, identity?.contributor ?? NAMELESS);
    const weight = await weightsAt(settings, source.region);
    const tests = [...own.flat().map(ownTest), ...others.map(pulledTest)].map((one) => ({
      ...one,
      wrong: isWrong(one),
      weighed: one.own || isEstablished(weight(one.contributor)),
    }));
    tests.sort((a, b) => Date.parse(b.sampled_at) - Date.parse(a.sampled_at));
    const priors = await priorsAt(settings, source.region);
    return { source, figures, tests, season: priors?.season ?? null };
  });
}

/** Saves a new source and returns its id. It is sent once it has a position and is shared. */
export async function addSource(entry: SourceEntry, shared: boolean, now: Date): Promise<string> {
  const id = await recordId(now);
  const row: SourceRow = {
    ...entry,
    id,
    revision: 1,
    recorded_at: now.toISOString(),
    own: true,
    region: null,
    contributor: null,
    sync: waitingNote("private"),
  };
  await keep(SOURCE_PLACES, async (writing) => {
    await writing.objectStore("sources").put(shared ? await shareSource(writing, row) : row);
    await addFigures(writing, row, now);
  });
  announce("sources", "figures", "outbox");
  return id;
}

/** Changes the person's own source: a new revision. Tests that waited for its position are queued. */
export async function editSource(id: string, change: Partial<SourceEntry>): Promise<void> {
  await keep(SOURCE_PLACES, async (writing) => {
    const sources = writing.objectStore("sources");
    const old = await sources.get(id);
    if (old === undefined || !old.own) return;
    // A source that was never sent needs no new revision: nobody has seen the old one.
    const seen = old.sync !== null && (old.sync.revision !== null || old.sync.state === "waiting");
    const row = { ...old, ...change, revision: seen ? old.revision + 1 : old.revision };
    const isShared = row.sync === null || !staysHere(row.sync);
    await sources.put(isShared ? await shareSource(writing, row) : row);
    if (hasPosition(row)) await releaseTests(writing, id);
    await markStale(writing, id);
  });
  announce("sources", "figures", "outbox", "own_tests");
}

/** Shares the person's own source that is only on this phone. */
export async function shareOwnSource(id: string): Promise<void> {
  await keep(SOURCE_PLACES, async (writing) => {
    const sources = writing.objectStore("sources");
    const row = await sources.get(id);
    if (row?.own) await sources.put(await shareSource(writing, row));
  });
  announce("sources", "outbox");
}

/** Queues the person's own source, or notes that it needs a position. Returns the row to store. */
export async function shareSource(writing: Writing, row: SourceRow): Promise<SourceRow> {
  if (!hasPosition(row)) return { ...row, sync: waitingNote("needs_position", row.sync) };
  await enqueue(writing, {
    kind: "source",
    id: row.id,
    revision: row.revision,
    source: row.id,
    record: sentSource(row),
  });
  return { ...row, sync: waitingNote("waiting", row.sync) };
}

export function hasPosition(row: SourceRow): row is SourceRow & { latitude: number; longitude: number } {
  return row.latitude !== null && row.longitude !== null;
}

function sentSource(row: SourceRow & { latitude: number; longitude: number }): Source {
  const { id, revision, name, latitude, longitude, recorded_at, subdivision, pump, notes } = row;
  return { kind: "source", id, revision, name, latitude, longitude, recorded_at, subdivision, pump, notes };
}

async function releaseTests(writing: Writing, source: string): Promise<void> {
  const tests = writing.objectStore("own_tests");
  for (const row of await tests.index("by_source").getAll(source)) {
    if (row.sync.state !== "needs_position") continue;
    await enqueue(writing, { kind: "test", id: row.id, revision: row.test.revision, source, record: asSent(row) });
    await tests.put({ ...row, sync: waitingNote("waiting", row.sync) });
  }
}

/**
 * Returns a function that tells whether a test belongs to a visit treated as a gross error; self: contributor of the
 * person's own tests.
 */
function wrongAt(row: FiguresRow | undefined, self: string): (test: TestFacts) => boolean {
  const visit = (contributor: string, at: string) => `${contributor} ${dateOf(at)}`;
  const wrong = new Set(row?.figures?.wrong?.map(({ contributor, at }) => visit(contributor, at)));
  return (test) => test.counted && wrong.has(visit(test.own ? self : test.contributor, test.sampled_at));
}

function ownTest(row: OwnTest): TestFacts {
  const { sampled, sampled_at, content, expanded_uncertainty, fuel_water, note, photos } = row.test;
  const counted = counts(row) && isOfSource(sampled);
  return {
    id: row.id,
    own: true,
    contributor: "",
    sampled,
    sampled_at,
    content,
    expanded_uncertainty,
    fuel_water,
    counted,
    note,
    photos,
  };
}

function pulledTest(row: PulledTest): TestFacts {
  const { sampled, sampled_at, fuel_water, note, photos } = row.test;
  const { content, expanded_uncertainty } = row.figures ?? row.test;
  return {
    id: row.id,
    own: false,
    contributor: row.contributor,
    sampled,
    sampled_at,
    content,
    expanded_uncertainty,
    fuel_water,
    counted: row.figures !== null && isOfSource(sampled),
    note,
    photos,
  };
}
