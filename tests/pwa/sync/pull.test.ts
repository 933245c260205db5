import { computeHere } from "@/compute";
import { settings } from "@/state/signals";
import { listFigures } from "@/store/figure-rows";
import { identity, identityOf, takeIdentity } from "@/store/identity";
import { nextBatch, settle } from "@/store/outbox";
import { DEFAULTS } from "@/store/settings";
import { addSource, readSource } from "@/store/sources";
import { readTest, retractTest, saveTest } from "@/store/tests";
import { Client } from "@/sync/client";
import { pull } from "@/sync/pull";
import { entry, keeping, NOW, pulledSource, pulledTest, stored } from "../helpers/examples";
import { Feed } from "./feed";
import { json, LittleServer } from "./little-server";

const clock = () => NOW;

let feed: Feed;
let client: Client;
beforeEach(async () => {
  feed = new Feed();
  client = await feed.start();
});
afterEach(() => feed.server.stop());

test("pulls sources and tests over several pages and computes their figures", async () => {
  const source = pulledSource(1);
  const empty = pulledSource(2, { name: "Les Airelles" });
  const tests = [80, 82, 84].map((content, at) =>
    pulledTest(3 + at, source.id, { content, sampled_at: `2026-02-0${at + 1}T10:00:00Z` }),
  );
  feed.changes = [source, empty, ...tests];
  expect(await pull(client, clock, computeHere)).toBe(5);
  const lines = await listFigures();
  const line = lines.find((one) => one.source === source.id);
  expect(line).toMatchObject({ name: "Pas des Genets", region: "FR-63", own: false, stale: 0 });
  expect(line?.figures).toMatchObject({ tests: 3, visits: 3, contributors: 1 });
  expect(line?.figures?.typical).toBeCloseTo(82, 0);
  expect(lines.find((one) => one.source === empty.id)?.figures).toBeNull();

  // The next time only what is new is requested.
  feed.changes.push(pulledTest(6, source.id, { sampled_at: "2026-02-09T10:00:00Z" }));
  expect(await pull(client, clock, computeHere)).toBe(1);
  expect(feed.server.seen.at(-1)?.path).toContain("cursor=a.5");
});

test("a tombstone deletes the test and updates the figures", async () => {
  const source = pulledSource(1);
  const first = pulledTest(2, source.id, { content: 60, sampled_at: "2026-02-01T10:00:00Z" });
  const second = pulledTest(3, source.id, { content: 84, sampled_at: "2026-02-08T10:00:00Z" });
  feed.changes = [source, first, second];
  await pull(client, clock, computeHere);
  feed.changes = [{ ...first, sequence: 4, revision: 2, retracted: true, record: null, figures: null }];
  await pull(client, clock, computeHere);
  const page = await readSource(source.id);
  expect(page?.tests.map((one) => one.id)).toEqual([second.id]);
  expect(page?.figures?.figures).toMatchObject({ tests: 1 });
});

test("a withheld test no longer counts", async () => {
  const source = pulledSource(1);
  const one = pulledTest(2, source.id);
  feed.changes = [source, one];
  await pull(client, clock, computeHere);
  feed.changes = [{ ...one, sequence: 3, state: "withheld", record: null, figures: null }];
  await pull(client, clock, computeHere);
  expect((await listFigures())[0]?.figures).toBeNull();
});

test("an expired cursor restarts the pull and drops what the server no longer has", async () => {
  const old = pulledSource(1, { name: "Gone" });
  feed.changes = [old];
  await pull(client, clock, computeHere);
  feed.epoch = "b";
  const fresh = pulledSource(1, { name: "New" });
  feed.changes = [fresh];
  await pull(client, clock, computeHere);
  expect((await listFigures()).map((line) => line.name)).toEqual(["New"]);
});

test("records lost by a restored server are queued again", async () => {
  const source = await addSource(entry(), true, NOW);
  const { id } = await saveTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await pull(client, clock, computeHere);
  expect(await nextBatch()).toEqual([]);
  feed.epoch = "b";
  await pull(client, clock, computeHere);
  expect((await nextBatch()).map((one) => one.id)).toEqual([source, id]);
});

test("an own test that comes back counts once and keeps its note", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await saveTest(keeping(source, { note: "mine" }), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  const back = pulledTest(2, source, { ...kept.test, note: "" });
  const place = { ...pulledSource(1, { id: source, name: "Col du Frene" }) };
  feed.changes = [place, back];
  await pull(client, clock, computeHere);
  const page = await readSource(source);
  expect(page?.tests).toHaveLength(1);
  expect(page?.tests[0]).toMatchObject({ own: true, note: "mine" });
  expect(page?.source).toMatchObject({ own: true, region: "FR-63" });
  expect(page?.figures?.figures?.tests).toBe(1);
});

test("an own test held later stops counting here too", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await saveTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  feed.changes = [{ ...pulledTest(1, source, kept.test), state: "withheld", record: null, figures: null }];
  await pull(client, clock, computeHere);
  expect((await readTest(kept.id))?.sync.state).toBe("held");
  expect((await listFigures())[0]?.figures).toBeNull();
});

test("a withdrawn own test does not come back with a pull", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await saveTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await retractTest(kept.id);
  feed.changes = [pulledTest(1, source, kept.test)];
  await pull(client, clock, computeHere);
  expect((await listFigures())[0]?.figures).toBeNull();
});

test("only chosen regions are pulled, and changing them restarts the pull and keeps only these", async () => {
  const there = pulledSource(1, { name: "Les Airelles" });
  feed.changes = [there];
  await pull(client, clock, computeHere);
  const here = pulledSource(2);
  feed.changes = [here];
  settings.value = { ...DEFAULTS, regions: ["FR-15", "FR-63"] };
  await pull(client, clock, computeHere);
  const asked = feed.server.seen.map(({ path }) => new URL(path, "http://x").searchParams);
  expect(asked.at(-1)?.get("region")).toBe("FR-15,FR-63");
  expect(asked.at(-1)?.get("cursor")).toBeNull();
  expect((await listFigures()).map((line) => line.name)).toEqual([here.record.name]);

  await pull(client, clock, computeHere);
  expect(new URL(feed.server.seen.at(-1)?.path ?? "", "http://x").searchParams.get("cursor")).toBe("a.2");
  settings.value = DEFAULTS;
  await pull(client, clock, computeHere);
  expect(feed.server.seen.at(-1)?.path).not.toContain("region");
});

test("a server that repeats the same page forever does not hang the phone", async () => {
  await feed.server.stop();
  feed.server = await LittleServer.start((_seen, response) =>
    json(response, { changes: [], cursor: "a.1", more: true }),
  );
  expect(await pull(new Client(feed.server.origin), clock, computeHere)).toBe(0);
});

test("after an identity change during a pull, that identity's earlier sources are one's own", async () => {
  feed.changes = [pulledSource(1), pulledSource(2), pulledSource(3)];
  await pull(client, clock, computeHere);
  const { secret } = await identity();
  const mine = await identityOf(secret);
  const other = "5a".repeat(32);
  const theirs = await identityOf(other);
  expect(mine.contributor).not.toBe(theirs.contributor);
  const old = { ...pulledSource(4), contributor: theirs.contributor };
  feed.changes = [old, pulledSource(5)];
  await pull(client, clock, computeHere);
  expect((await readSource(old.id))?.source.own).toBe(false);
  feed.changes.push(pulledSource(6));
  feed.before = () => takeIdentity(other);
  await pull(client, clock, computeHere);
  expect((await readSource(old.id))?.source.own).toBe(true);
});
