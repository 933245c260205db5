import { computeHere } from "@/compute";
import { dropDraft, loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures, startFigures } from "@/store/figures";
import { close, run } from "@/store/open";
import { markTried, nextBatch, settle } from "@/store/outbox";
import { readPhoto, savePhoto } from "@/store/photos";
import { DEFAULTS } from "@/store/settings";
import { addSource, editSource, readSource } from "@/store/sources";
import { listTests, readTest, retractTest, reviseTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW, refused, stored } from "../helpers/examples";
import { soon } from "../helpers/soon";
import { countStorage } from "../helpers/storage-count";

async function queued() {
  return (await nextBatch()).map(({ kind, id, revision }) => ({ kind, id, revision }));
}

describe("saving a test", () => {
  test("writes the test and its queue entry, marks the source's figures and deletes the draft", async () => {
    const source = await addSource(entry(), true, NOW);
    const wanted = keeping(source);
    await saveDraft({ ...newDraft(DEFAULTS, NOW), id: wanted.test.id });
    await saveTest(wanted, NOW);

    expect((await readTest(wanted.test.id))?.test).toEqual(wanted.test);
    expect(await loadDraft()).toBeUndefined();
    expect(await queued()).toEqual([
      { kind: "source", id: source, revision: 1 },
      { kind: "test", id: wanted.test.id, revision: 1 },
    ]);
    expect((await listFigures())[0]).toMatchObject({ source, stale: 1, figures: null });
    await refreshFigures(NOW, computeHere);
    const [line] = await listFigures();
    expect(line).toMatchObject({ source, name: "Col du Frene", stale: 0 });
    // One visit of 83 %: the typical content is there.
    expect(line?.figures?.typical).toBeCloseTo(83, 0);
    expect(line?.figures).toMatchObject({ tests: 1, visits: 1, contributors: 1, evidence: 0 });
  });

  test("twice stores it once", async () => {
    const source = await addSource(entry(), true, NOW);
    const wanted = keeping(source);
    await saveTest(wanted, NOW);
    await saveTest({ ...wanted, shared: false }, NOW);
    expect((await listTests({ limit: 10 })).total).toBe(1);
    expect(await queued()).toHaveLength(2);
  });

  test("is one transaction flushed to the disk, and waits for few answers", async () => {
    const source = await addSource(entry(), true, NOW);
    const wanted = keeping(source);
    await saveDraft({ ...newDraft(DEFAULTS, NOW), id: wanted.test.id });
    const { transactions, requests, inTurn } = await countStorage(() => saveTest(wanted, NOW));
    expect(transactions).toEqual(["strict"]);
    expect(requests).toBeLessThanOrEqual(13);
    expect(inTurn).toBeLessThanOrEqual(5);
  });

  test("leaves the draft of another test alone", async () => {
    const source = await addSource(entry(), true, NOW);
    const other = newDraft(DEFAULTS, NOW);
    await saveDraft(other);
    await saveTest(keeping(source), NOW);
    expect((await loadDraft())?.id).toBe(other.id);
  });

  test("is undone as a whole when a part of it fails", async () => {
    const source = await addSource(entry(), true, NOW);
    const wanted = keeping(source);
    const broken = { ...wanted, test: { ...wanted.test, sampled_at: "no time" } };
    // A function cannot be stored: the last write of the transaction throws.
    (broken as { own_uncertainty: unknown }).own_uncertainty = () => 0;
    await expect(saveTest(broken, NOW)).rejects.toThrow();
    expect((await listTests({ limit: 10 })).total).toBe(0);
    expect(await queued()).toEqual([{ kind: "source", id: source, revision: 1 }]);
  });

  test("that is not shared queues neither it nor its source", async () => {
    const source = await addSource(entry(), false, NOW);
    await saveTest(keeping(source, {}, false), NOW);
    expect(await queued()).toEqual([]);
    expect((await listTests({ limit: 1 })).lines[0]?.row.sync.state).toBe("private");
  });

  test("that is shared also shares its private source", async () => {
    const source = await addSource(entry(), false, NOW);
    const kept = await saveTest(keeping(source), NOW);
    expect((await queued()).map((one) => one.id)).toEqual([source, kept.id]);
  });
});

describe("a source without a position", () => {
  test("waits with its tests until it gets one", async () => {
    const source = await addSource(entry({ latitude: null, longitude: null }), true, NOW);
    const kept = await saveTest(keeping(source), NOW);
    expect(kept.sync.state).toBe("needs_position");
    expect(await queued()).toEqual([]);

    await editSource(source, { latitude: 45.2, longitude: 2.7 });
    expect((await queued()).map((one) => one.id)).toEqual([source, kept.id]);
    expect((await readTest(kept.id))?.sync.state).toBe("waiting");
    expect((await readSource(source))?.figures?.latitude).toBe(45.2);
  });
});

describe("revising and withdrawing", () => {
  test("a new note is a new revision and the old one stays", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source), NOW);
    await reviseTest(kept.id, { note: "cold morning" });
    const row = await readTest(kept.id);
    expect(row?.test).toMatchObject({ revision: 2, note: "cold morning", content: 83 });
    expect(row?.earlier).toEqual([kept.test]);
    expect((await queued()).filter((one) => one.kind === "test")).toEqual([{ kind: "test", id: kept.id, revision: 2 }]);
  });

  test("the same note again changes nothing", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source, { note: "same" }), NOW);
    await reviseTest(kept.id, { note: "same" });
    expect((await readTest(kept.id))?.test.revision).toBe(1);
  });

  test("withdrawing an unsent test leaves nothing to send", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source), NOW);
    await retractTest(kept.id);
    expect((await queued()).map((one) => one.kind)).toEqual(["source"]);
    await refreshFigures(NOW, computeHere);
    expect((await listFigures())[0]?.figures).toBeNull();
    expect((await readTest(kept.id))?.retracted).toBe(true);
  });

  test("withdrawing a test that may have arrived informs the server", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source), NOW);
    await markTried(await nextBatch(), NOW);
    await retractTest(kept.id);
    const last = (await nextBatch()).at(-1);
    expect(last?.record).toEqual({ kind: "test", id: kept.id, revision: 2, retracted: true });
  });

  test("withdrawing a sent test informs the server", async () => {
    const source = await addSource(entry(), true, NOW);
    const kept = await saveTest(keeping(source), NOW);
    const batch = await nextBatch();
    await markTried(batch, NOW);
    await settle(batch, batch.map(stored), NOW);
    await retractTest(kept.id);
    expect((await nextBatch()).map((one) => one.record)).toEqual([
      { kind: "test", id: kept.id, revision: 2, retracted: true },
    ]);
  });
});

describe("the log", () => {
  test("shows the newest first in pages, and searches name, pump and note", async () => {
    const here = await addSource(entry(), true, NOW);
    const there = await addSource(entry({ name: "Pont du Loup", pump: "" }), true, NOW);
    const ids: string[] = [];
    for (let at = 0; at < 5; at += 1) {
      const id = `0195a000-000${at}-7000-8000-000000000000`;
      const wanted = keeping(at === 3 ? there : here, { id, note: at === 1 ? "left over" : "" });
      ids.push((await saveTest(wanted, NOW)).id);
    }
    const page = await listTests({ limit: 2 });
    expect(page.lines.map((line) => line.row.id)).toEqual([ids[4], ids[3]]);
    expect(page.total).toBe(5);
    expect((await listTests({ limit: 9, search: "loup" })).lines.map((line) => line.row.id)).toEqual([ids[3]]);
    expect((await listTests({ limit: 9, search: "FRENE left" })).lines.map((line) => line.row.id)).toEqual([ids[1]]);
    expect((await listTests({ limit: 9, search: "nowhere" })).total).toBe(0);
  });
});

describe("photos", () => {
  const picture = { bytes: new Uint8Array([1, 2, 3, 4]).buffer, type: "image/jpeg", width: 1, height: 1 };
  // SHA-256 of 01 02 03 04, by `printf '\x01\x02\x03\x04' | sha256sum`.
  const digest = "9f64a747e1b97f131fabb6b447296c9b6f0201e79fb3c5356e6c77e89b6a806a";

  test("are read back as stored, under their SHA-256", async () => {
    expect(await savePhoto(picture, NOW)).toBe(digest);
    const blob = await readPhoto(digest);
    expect(blob?.type).toBe("image/jpeg");
    expect(new Uint8Array((await blob?.arrayBuffer()) as ArrayBuffer)).toEqual(new Uint8Array([1, 2, 3, 4]));
  });

  test("damaged on the phone are not returned", async () => {
    await savePhoto(picture, NOW);
    await run(async (base) => {
      const row = await base.get("photos", digest);
      if (row !== undefined) await base.put("photos", { ...row, bytes: new Uint8Array([1, 2, 3, 5]).buffer });
    });
    await expect(readPhoto(digest)).rejects.toMatchObject({ name: "PhotoDamaged", digest });
  });

  test("are deleted with a discarded draft, but not those of a saved test", async () => {
    const source = await addSource(entry(), true, NOW);
    const other = await savePhoto({ ...picture, bytes: new Uint8Array([9]).buffer }, NOW);
    await savePhoto(picture, NOW);
    await saveTest(keeping(source, { photos: [digest] }), NOW);
    await saveDraft({ ...newDraft(DEFAULTS, NOW), photos: [digest, other] });
    await dropDraft();
    expect(await readPhoto(digest)).toBeDefined();
    expect(await readPhoto(other)).toBeUndefined();
  });
});

test("a refused test stays visible, does not count and blocks nothing", async () => {
  const source = await addSource(entry(), true, NOW);
  const first = await saveTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(
    batch,
    batch.map((one) => (one.kind === "test" ? refused(one) : stored(one))),
    NOW,
  );
  expect((await readTest(first.id))?.sync).toMatchObject({
    state: "refused",
    problems: [{ code: "line_below_water" }],
  });
  const second = await saveTest(keeping(source, { content: 70 }), NOW);
  expect((await queued()).map((one) => one.id)).toEqual([second.id]);
  await refreshFigures(NOW, computeHere);
  expect((await listFigures())[0]?.figures?.typical).toBeCloseTo(70, 0);
});

describe("the figures of the source", () => {
  async function computed() {
    const [line] = await listFigures();
    expect(line?.stale).toBe(0);
    return line?.figures ?? null;
  }

  test("are updated after saving and withdrawing", async () => {
    const source = await addSource(entry(), true, NOW);
    const stop = startFigures(() => NOW, computeHere);
    const kept = await saveTest(keeping(source), NOW);
    await soon(async () => expect((await computed())?.tests).toBe(1));
    await retractTest(kept.id);
    await soon(async () => expect(await computed()).toBeNull());
    stop();
  });

  test("left stale by a closed page are computed at the next start", async () => {
    const source = await addSource(entry(), true, NOW);
    await saveTest(keeping(source), NOW);
    close();
    expect((await listFigures())[0]?.stale).toBe(1);
    const stop = startFigures(() => NOW, computeHere);
    await soon(async () => expect((await computed())?.tests).toBe(1));
    stop();
  });

  test("are computed once more if a test arrives meanwhile", async () => {
    const source = await addSource(entry(), true, NOW);
    // It arrives at each step of the computation in turn.
    for (let moment = 0; moment < 30; moment += 1) {
      const before = 2 * moment;
      await saveTest(keeping(source), NOW);
      const computing = refreshFigures(NOW, computeHere);
      for (let turn = 0; turn < moment; turn += 1) await new Promise((resolve) => setImmediate(resolve));
      await saveTest(keeping(source), NOW);
      await computing;
      const [line] = await listFigures();
      // Either it was included, or the row is still stale: never old figures marked as current.
      expect(line?.stale === 1 || line?.figures?.tests === before + 2).toBe(true);
      await refreshFigures(NOW, computeHere);
      expect((await computed())?.tests).toBe(before + 2);
    }
  });
});
