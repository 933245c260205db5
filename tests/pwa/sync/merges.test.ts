import { computeHere } from "@/compute";
import type { Change, SourceChange } from "@/records";
import { applyPage, readCursor } from "@/store/cursor";
import { loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { nextBatch, settle } from "@/store/outbox";
import { DEFAULTS, writeFact } from "@/store/settings";
import { addSource, readSource } from "@/store/sources";
import { listTests, readTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, pulledSource, pulledTest, stored } from "../helpers/examples";

let sequence = 100;

beforeEach(() => writeFact("cursor", { server: "", cursor: "a.100" }));

async function arrive(...changes: Change[]): Promise<void> {
  sequence += changes.length;
  await applyPage(changes, { server: "", cursor: `a.${sequence}` }, false);
  await refreshFigures(NOW, computeHere);
}

/** The server's change for a merged `source`: no record, and the survivor's id. */
function merged(source: SourceChange, into: string, change: Partial<SourceChange> = {}): SourceChange {
  return { ...source, state: "merged", record: null, into, ...change };
}

async function counted(): Promise<Record<string, number>> {
  return Object.fromEntries((await listFigures()).map((row) => [row.source, row.figures?.tests ?? 0]));
}

const one = pulledSource(1, { name: "Pas des Genets" });
const other = pulledSource(2, { name: "Pas du Genet" });
const at = (source: string, day: number) =>
  pulledTest(10 + day, source, { sampled_at: `2026-02-${String(day).padStart(2, "0")}T10:00:00Z` });

test("a merged source leaves the list, and its tests count and show at the survivor", async () => {
  await arrive(one, other, at(one.id, 10), at(other.id, 11), at(other.id, 12));
  expect(await counted()).toEqual({ [one.id]: 1, [other.id]: 2 });
  await arrive(merged(other, one.id));
  expect(await counted()).toEqual({ [one.id]: 3 });
  for (const id of [one.id, other.id]) {
    const page = await readSource(id);
    expect(page?.source.id).toBe(one.id);
    expect(page?.tests).toHaveLength(3);
    expect(page?.figures?.figures?.tests).toBe(3);
  }
  // A later test that names the merged one counts at the survivor too.
  await arrive(at(other.id, 13));
  expect(await counted()).toEqual({ [one.id]: 4 });
  await arrive(other);
  expect(await counted()).toEqual({ [one.id]: 1, [other.id]: 3 });
  expect((await readSource(other.id))?.source.name).toBe("Pas du Genet");
});

test("a new phone learns of the merge in any order of arrival", async () => {
  await arrive(at(other.id, 11), merged(other, one.id));
  expect(await counted()).toEqual({});
  await arrive(one);
  expect(await counted()).toEqual({ [one.id]: 1 });
});

test("withdrawing a merged source withdraws its tests", async () => {
  await arrive(one, other, at(one.id, 10), at(other.id, 11), merged(other, one.id));
  await arrive(merged(other, one.id, { retracted: true, revision: 2 }));
  expect(await counted()).toEqual({ [one.id]: 1 });
  expect(await readSource(other.id)).toBeUndefined();
});

test("a new survivor takes over the tests", async () => {
  const third = pulledSource(3, { name: "Croix Basse" });
  await arrive(one, other, third, at(other.id, 11), merged(other, one.id));
  await arrive(merged(other, third.id));
  expect(await counted()).toEqual({ [one.id]: 0, [third.id]: 1 });
});

test("a pull from the beginning forgets merges that the server no longer has", async () => {
  await arrive(one, other, at(other.id, 11), merged(other, one.id));
  await applyPage([one, other, at(other.id, 11)], { server: "", cursor: "b.3" }, true);
  await refreshFigures(NOW, computeHere);
  expect(await counted()).toEqual({ [one.id]: 0, [other.id]: 1 });
  expect(await readCursor("")).toBe("b.3");
});

describe("with an own source merged into another", () => {
  let mine: string;
  let change: SourceChange;
  beforeEach(async () => {
    mine = await addSource(entry(), true, NOW);
    await saveTest(keeping(mine), NOW);
    const batch = await nextBatch();
    await settle(batch, batch.map(stored), NOW);
    change = pulledSource(2, { id: mine, name: "Col du Frene" });
    await arrive(one, at(one.id, 10), merged(change, one.id));
  });

  test("own tests count there, including those saved and held from now on", async () => {
    expect(await counted()).toEqual({ [one.id]: 2 });
    const kept = await saveTest(keeping(mine, { sampled_at: "2026-03-10T10:00:00Z" }), NOW);
    await refreshFigures(NOW, computeHere);
    expect(await counted()).toEqual({ [one.id]: 3 });
    expect((await readSource(mine))?.tests.filter((test) => test.own)).toHaveLength(2);
    const batch = await nextBatch();
    const held = batch.map((queued) => ({ ...stored(queued), status: "held" as const }));
    await settle(batch, held, NOW);
    await refreshFigures(NOW, computeHere);
    expect((await readTest(kept.id))?.sync.state).toBe("held");
    expect(await counted()).toEqual({ [one.id]: 2 });
  });

  test("the log and the run sheet name the survivor until the merge is undone", async () => {
    expect((await listTests({ limit: 9 })).lines[0]?.name).toBe("Pas des Genets");
    await saveDraft({ ...newDraft(DEFAULTS, NOW), source: mine });
    expect((await loadDraft())?.source).toBe(one.id);
    await arrive(change);
    expect((await listTests({ limit: 9 })).lines[0]?.name).toBe("Col du Frene");
    expect(await counted()).toEqual({ [one.id]: 1, [mine]: 1 });
    expect((await readSource(mine))?.source.own).toBe(true);
  });
});

test("unknown states and kinds of a later server do no harm", async () => {
  const test = at(one.id, 10);
  const unknown = { ...test, state: "resting", record: null, figures: null } as unknown as Change;
  const strange = { ...test, kind: "weather", id: "x" } as unknown as Change;
  await arrive(one, test, { ...other, state: "resting", record: null } as unknown as Change, strange);
  expect(await counted()).toEqual({ [one.id]: 1 });
  await arrive(unknown);
  expect(await counted()).toEqual({ [one.id]: 0 });
});
