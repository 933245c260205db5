/** Imported data stays on the phone: two people, their phones, and a server that records what it is sent. */

import { IDBFactory } from "fake-indexeddb";
import { computeHere } from "@/compute";
import { type LogFile, readLog, writeLog } from "@/files/log-file";
import { newId, sha256, toHex } from "@/ids";
import type { Retraction, Source, Test } from "@/records";
import { loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { identity, takeIdentity } from "@/store/identity";
import { close, run, write } from "@/store/open";
import { countUnsent } from "@/store/outbox";
import { recomputeTests } from "@/store/recompute";
import { queueResend } from "@/store/resend";
import { DEFAULTS, saveSettings } from "@/store/settings";
import { addSource, editSource, readSource } from "@/store/sources";
import { readTest, retractTest, reviseTest, reviseTests, saveTest } from "@/store/tests";
import { correctTimes } from "@/store/times";
import { exportLog, importLog } from "@/store/transfer";
import { exchange } from "@/sync/exchange";
import { entry, keeping, NOW, pulledTest, stored, tubeRow } from "../helpers/examples";
import { livePage } from "../helpers/page";
import { json, LittleServer } from "../sync/little-server";

const clock = () => NOW;
let server: LittleServer;
let feed: unknown[];

beforeEach(async () => {
  feed = [];
  server = await LittleServer.start((seen, response) => {
    if (seen.path === "/healthz") return json(response, { status: "ok", version: "0", invented: false });
    if (seen.path === "/api/v1/push") {
      const { records } = JSON.parse(seen.body.toString());
      return json(response, { answers: records.map(stored), received_at: NOW.toISOString() });
    }
    if (seen.path.startsWith("/api/v1/photos/")) return json(response, {});
    return json(response, { changes: feed, cursor: "a.1", more: false });
  });
});
afterEach(() => server.stop());

/** A separate, empty phone. */
async function newPhone(): Promise<void> {
  close();
  globalThis.indexedDB = new IDBFactory();
  await livePage();
  await saveSettings({ server: server.origin });
  await identity();
}

/** What the server received: records and photos, oldest first. */
function sent(): string[] {
  return server.seen.flatMap(({ path, body }) => {
    if (path.startsWith("/api/v1/photos/")) return [path];
    if (path !== "/api/v1/push") return [];
    return (JSON.parse(body.toString()).records as (Source | Test | Retraction)[]).map(
      (one) => `${one.kind} ${one.id} ${one.revision}`,
    );
  });
}

async function written(withSecret: boolean): Promise<LogFile> {
  const { contributor, secret } = await identity();
  const who = { contributor, secret: withSecret ? secret : null };
  const file = await readLog(writeLog(await exportLog(true), who, NOW));
  if ("code" in file) throw new Error(`${file.code} ${file.where}`);
  return file;
}

async function picture(state: "private" | "waiting"): Promise<string> {
  const bytes = new Uint8Array([1, 2, 3]).buffer;
  const digest = toHex(await sha256(bytes));
  const row = {
    digest,
    type: "image/jpeg",
    bytes,
    width: 4,
    height: 3,
    made_at: NOW.toISOString(),
    state,
    problem: "",
  };
  await write(["photos"], (writing) => writing.objectStore("photos").put(row));
  return digest;
}

/** The author's phone: a sent test with an unsent photo; a shared but unsent test; a draft. */
async function author() {
  await newPhone();
  const photo = await picture("waiting");
  const source = await addSource(entry(), true, NOW);
  const first = await saveTest(keeping(source, { photos: [photo] }), NOW);
  await exchange(clock, computeHere);
  await write(["photos"], async (writing) => {
    const row = await writing.objectStore("photos").get(photo);
    if (row !== undefined) await writing.objectStore("photos").put({ ...row, state: "waiting" });
  });
  const second = await saveTest(keeping(source, { note: "no signal" }), new Date(NOW.getTime() + 1));
  const elsewhere = await addSource(entry({ name: "Gue du Peu" }), true, NOW);
  const draft = { ...newDraft(DEFAULTS, NOW), source, shared: true };
  await saveDraft(draft);
  server.seen.length = 0;
  return { source, elsewhere, first, second, draft, photo, file: await written(false), recovery: await written(true) };
}

test("another contributor's imported log is never published", async () => {
  const { source, elsewhere, first, second, draft, file } = await author();
  await newPhone();
  const taken = await importLog(file);
  expect(taken).toMatchObject({ tests: 2, sources: 2, sheet: true, unsent: [], foreign: 2 });
  await exchange(clock, computeHere);
  expect(sent()).toEqual([]);
  expect(await countUnsent()).toEqual({ unsent: 0, parked: 0 });
  for (const id of [first.id, second.id]) {
    expect((await readTest(id))?.sync).toMatchObject({ state: "imported", problems: [] });
    await reviseTest(id, { note: "seen here", shared: true });
    await correctTimes(id, { sampled_at: "2026-03-11T10:00:00Z", tested_at: "2026-03-11T11:00:00Z" });
  }
  const tube = tubeRow({ id: second.test.tube.id, offset: 2, offset_uncertainty: 0.5 });
  await write(["tubes"], (writing) => writing.objectStore("tubes").put(tube));
  expect(await recomputeTests(tube.id, NOW, computeHere)).toMatchObject({ changed: 1 });
  await editSource(source, { name: "Renamed" });
  await editSource(elsewhere, { name: "Renamed" });
  await retractTest(first.id);
  await exchange(clock, computeHere);
  expect(sent()).toEqual([]);
  expect(await loadDraft()).toMatchObject({ source, shared: false });
  expect((await loadDraft())?.id).not.toBe(draft.id);
});

test("own tests at an imported source are sent without the rest of the file", async () => {
  const { source, file } = await author();
  await newPhone();
  await importLog(file);
  const own = await saveTest(keeping(source), NOW);
  await exchange(clock, computeHere);
  expect(sent()).toEqual([`test ${own.id} 1`]);
});

test("an own file waits for consent and is then sent in full", async () => {
  const { elsewhere, first, second, photo, recovery } = await author();
  await newPhone();
  await takeIdentity(recovery.secret as string);
  const taken = await importLog(recovery);
  expect(taken).toMatchObject({ tests: 2, unsent: [first.id, second.id], foreign: 0 });
  await exchange(clock, computeHere);
  await editSource(elsewhere, { pump: "2" });
  await reviseTest(second.id, { note: "still no signal" });
  await exchange(clock, computeHere);
  expect(sent()).toEqual([]);
  await reviseTests(taken.unsent, { shared: true });
  await exchange(clock, computeHere);
  expect(sent()).toEqual([`test ${first.id} 1`, `test ${second.id} 2`, `/api/v1/photos/${photo}`]);
  expect((await readTest(second.id))?.sync.state).toBe("sent");
});

test("an imported log becomes one's own after importing the recovery file", async () => {
  const { source, second, file, recovery } = await author();
  await newPhone();
  await importLog(file);
  expect((await readSource(source))?.source.own).toBe(false);
  await takeIdentity(recovery.secret as string);
  await importLog(recovery);
  expect((await readSource(source))?.source.own).toBe(true);
  await reviseTest(second.id, { shared: true });
  await exchange(clock, computeHere);
  expect(sent()).toEqual([`test ${second.id} 1`]);
});

test("a pending withdrawal is sent from an own file and from nobody else's", async () => {
  const { first } = await author();
  await retractTest(first.id);
  const recovery = await written(true);
  await newPhone();
  await importLog(recovery);
  await exchange(clock, computeHere);
  expect(sent()).toEqual([]);
  await newPhone();
  await takeIdentity(recovery.secret as string);
  await importLog(recovery);
  await exchange(clock, computeHere);
  expect(sent()).toEqual([`test ${first.id} 2`]);
});

test("a restored server is not sent another contributor's tests", async () => {
  const { source } = await author();
  const third = await saveTest(keeping(source, { id: newId() }), NOW);
  await exchange(clock, computeHere);
  const file = await written(false);
  await newPhone();
  server.seen.length = 0;
  expect(await importLog(file)).toMatchObject({ foreign: 0 });
  expect((await readTest(third.id))?.sync.state).toBe("sent");
  await queueResend();
  await reviseTest(third.id, { note: "mine now?" });
  await exchange(clock, computeHere);
  expect(sent()).toEqual([]);
});

test("importing a file cannot change who wrote a test", async () => {
  await newPhone();
  const source = await addSource(entry(), true, NOW);
  const own = await saveTest(keeping(source), NOW);
  const file = await written(false);
  const [row] = file.tests;
  if (row === undefined) throw new Error("no test");
  const changed = { ...row, test: { ...row.test, revision: 9, content: 12 } };
  expect(await importLog({ ...file, contributor: "00112233445566ff", tests: [changed] })).toMatchObject({ known: 1 });
  expect((await readTest(own.id))?.test.content).toBe(83);
  await exchange(clock, computeHere);
  expect(sent()).toContain(`test ${own.id} 1`);
});

test("a test sent by its author's phone shows as sent here", async () => {
  const { source, second, file } = await author();
  const { contributor } = await identity();
  await newPhone();
  await importLog(file);
  feed = [{ ...pulledTest(1, source, { id: second.id }), contributor }];
  await exchange(clock, computeHere);
  expect(await readTest(second.id)).toMatchObject({ shared: true, author: contributor, sync: { state: "sent" } });
  expect(await run((base) => base.count("outbox"))).toBe(0);
});
