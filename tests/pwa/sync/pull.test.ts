import { createHash, createHmac } from "node:crypto";
import { newId } from "@/ids";
import { settings } from "@/live";
import type { Change } from "@/records";
import { remarkText } from "@/screens/log/words";
import { listFigures } from "@/store/figures";
import { identity, identityOf, takeIdentity } from "@/store/identity";
import { run } from "@/store/open";
import { nextBatch, settle } from "@/store/outbox";
import { DEFAULTS } from "@/store/settings";
import { addSource, editSource, readSource } from "@/store/sources";
import { keepTest, readTest, retractTest, reviseTest } from "@/store/tests";
import { Client } from "@/sync/client";
import { pull } from "@/sync/pull";
import { syncWords } from "@/sync/words";
import { entry, keeping, NOW, pulledSource, pulledTest, STRANGER, stored } from "../invented";
import { json, LittleServer } from "../little-server";

const clock = () => NOW;

/** A server that keeps changes in order and hands them out two at a time, as the contract says. */
class Feed {
  changes: Change[] = [];
  /** Whoever shows the secret gets these as they were sent. */
  own: Change[] | null = null;
  epoch = "a";
  server!: LittleServer;
  /** What happens on the phone while the next page is on its way. */
  before: () => Promise<unknown> = async () => undefined;

  async start(): Promise<Client> {
    this.server = await LittleServer.start(async (seen, response) => {
      const before = this.before;
      this.before = async () => undefined;
      await before();
      const { pathname, searchParams } = new URL(seen.path, "http://x");
      if (pathname === "/api/v1/own") {
        const ids = (searchParams.get("ids") ?? "").split(",");
        json(response, { changes: (this.own ?? this.changes).filter((one) => ids.includes(one.id)) });
        return;
      }
      const cursor = searchParams.get("cursor");
      const [epoch, at] = (cursor ?? `${this.epoch}.0`).split(".");
      if (epoch !== this.epoch) {
        json(response, { code: "cursor_expired", status: 410 }, 410);
        return;
      }
      const left = this.changes.filter((one) => one.sequence > Number(at));
      const page = left.slice(0, 2);
      const last = page.at(-1)?.sequence ?? Number(at);
      json(response, { changes: page, cursor: `${this.epoch}.${last}`, more: left.length > 2 });
    });
    return new Client(this.server.origin);
  }
}

let feed: Feed;
let client: Client;
beforeEach(async () => {
  feed = new Feed();
  client = await feed.start();
});
afterEach(() => feed.server.stop());

test("brings sources and tests over several pages and computes their figures", async () => {
  const source = pulledSource(1);
  const empty = pulledSource(2, { name: "Les Airelles" });
  const tests = [80, 82, 84].map((content, at) =>
    pulledTest(3 + at, source.id, { content, sampled_at: `2026-02-0${at + 1}T10:00:00Z` }),
  );
  feed.changes = [source, empty, ...tests];
  expect(await pull(client, clock)).toBe(5);
  const lines = await listFigures();
  const line = lines.find((one) => one.source === source.id);
  expect(line).toMatchObject({ name: "Pas des Genets", region: "FR-63", own: false, stale: 0 });
  expect(line?.figures).toMatchObject({ tests: 3, visits: 3, contributors: 1 });
  expect(line?.figures?.typical).toBeCloseTo(82, 0);
  expect(lines.find((one) => one.source === empty.id)?.figures).toBeNull();

  // Only what is new is asked for the next time.
  feed.changes.push(pulledTest(6, source.id, { sampled_at: "2026-02-09T10:00:00Z" }));
  expect(await pull(client, clock)).toBe(1);
  expect(feed.server.seen.at(-1)?.path).toContain("cursor=a.5");
});

test("a tombstone forgets the test and moves the figures", async () => {
  const source = pulledSource(1);
  const first = pulledTest(2, source.id, { content: 60, sampled_at: "2026-02-01T10:00:00Z" });
  const second = pulledTest(3, source.id, { content: 84, sampled_at: "2026-02-08T10:00:00Z" });
  feed.changes = [source, first, second];
  await pull(client, clock);
  feed.changes = [{ ...first, sequence: 4, revision: 2, retracted: true, record: null, figures: null }];
  await pull(client, clock);
  const page = await readSource(source.id);
  expect(page?.tests.map((one) => one.id)).toEqual([second.id]);
  expect(page?.figures?.figures).toMatchObject({ tests: 1 });
});

test("a withheld test counts no more", async () => {
  const source = pulledSource(1);
  const one = pulledTest(2, source.id);
  feed.changes = [source, one];
  await pull(client, clock);
  feed.changes = [{ ...one, sequence: 3, state: "withheld", record: null, figures: null }];
  await pull(client, clock);
  expect((await listFigures())[0]?.figures).toBeNull();
});

test("an expired cursor starts again and drops what the server no longer has", async () => {
  const old = pulledSource(1, { name: "Gone" });
  feed.changes = [old];
  await pull(client, clock);
  feed.epoch = "b";
  const fresh = pulledSource(1, { name: "New" });
  feed.changes = [fresh];
  await pull(client, clock);
  expect((await listFigures()).map((line) => line.name)).toEqual(["New"]);
});

test("what a server that was put back has lost is queued to be sent again", async () => {
  const source = await addSource(entry(), true, NOW);
  const { id } = await keepTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await pull(client, clock);
  expect(await nextBatch()).toEqual([]);
  feed.epoch = "b";
  await pull(client, clock);
  expect((await nextBatch()).map((one) => one.id)).toEqual([source, id]);
});

test("one's own test that comes back counts once, and keeps its words", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await keepTest(keeping(source, { note: "mine" }), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  const back = pulledTest(2, source, { ...kept.test, note: "" });
  const place = { ...pulledSource(1, { id: source, name: "Col du Frene" }) };
  feed.changes = [place, back];
  await pull(client, clock);
  const page = await readSource(source);
  expect(page?.tests).toHaveLength(1);
  expect(page?.tests[0]).toMatchObject({ own: true, note: "mine" });
  expect(page?.source).toMatchObject({ own: true, region: "FR-63" });
  expect(page?.figures?.figures?.tests).toBe(1);
});

test("a test of one's own that the server holds back afterwards stops counting here too", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await keepTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  feed.changes = [{ ...pulledTest(1, source, kept.test), state: "withheld", record: null, figures: null }];
  await pull(client, clock);
  expect((await readTest(kept.id))?.sync.state).toBe("held");
  expect((await listFigures())[0]?.figures).toBeNull();
});

test("a taken-back test of one's own does not come back with a pull", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = await keepTest(keeping(source), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await retractTest(kept.id);
  feed.changes = [pulledTest(1, source, kept.test)];
  await pull(client, clock);
  expect((await listFigures())[0]?.figures).toBeNull();
});

/** How others see a change of somebody with a secret, as Node computes it. */
function seen(change: ReturnType<typeof pulledTest>, secret: string): Change {
  const key = createHash("sha256").update(Buffer.from(secret, "hex")).digest();
  const day = change.record.sampled_at.slice(0, 10);
  const name = createHmac("sha256", key)
    .update(`${change.region} ${day.slice(0, 4)}`)
    .digest("hex")
    .slice(0, 16);
  const tube = { ...change.record.tube, id: newId(), calibration: [], offset: 0, offset_uncertainty: 0 };
  const noon = `${day}T12:00:00Z`;
  return { ...change, contributor: name, record: { ...change.record, tube, sampled_at: noon, tested_at: noon } };
}

describe("with the same secret on two phones", () => {
  beforeEach(() => run((base) => base.put("settings", { secret: "ef".repeat(32), contributor: STRANGER }, "identity")));

  test("what the other phone sent is found by the name of its region and year, and comes whole", async () => {
    const source = pulledSource(1);
    const tube = { ...pulledTest(9, "").record.tube, calibration: [{ nominal: 50, true: 50.2 }] };
    const times = ["2025-12-31T23:30:00+01:00", "2026-01-01T00:30:00+01:00"];
    const whole = times.map((at, n) => pulledTest(2 + n, source.id, { tube, sampled_at: at, tested_at: at }));
    const other = pulledTest(4, source.id);
    feed.own = whole;
    feed.changes = [source, ...whole.map((one) => seen(one, "ef".repeat(32))), seen(other, "ab".repeat(32))];
    await pull(client, clock);
    for (const one of whole)
      expect((await readTest(one.id))?.test).toMatchObject({ tube, tested_at: one.record.tested_at });
    expect(await readTest(other.id)).toBeUndefined();
    const asked = feed.server.seen.filter(({ path }) => path.startsWith("/api/v1/own"));
    expect(asked.map(({ headers }) => headers.authorization)).toEqual([`Bearer ${"ef".repeat(32)}`]);
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 3, contributors: 2 });

    // Where nothing is new, nothing is asked for.
    feed.epoch = "b";
    await pull(client, clock);
    expect(feed.server.seen.filter(({ path }) => path.startsWith("/api/v1/own"))).toHaveLength(1);
  });

  test("a server that does not give them leaves them to another time", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.own = [];
    feed.changes = [source, seen(one, "ef".repeat(32))];
    await pull(client, clock);
    expect(await readTest(one.id)).toBeUndefined();
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1 });
  });

  test("a test sent by the other phone appears in this log, changed and taken back with it", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id, { note: "from the other phone" });
    feed.changes = [source, one];
    await pull(client, clock);
    expect((await readTest(one.id))?.test.note).toBe("from the other phone");
    expect((await readTest(one.id))?.sync).toMatchObject({ state: "sent", revision: 1 });
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1, contributors: 1 });

    const record = { ...one.record, revision: 2, note: "second thought" };
    feed.changes = [{ ...one, sequence: 3, revision: 2, record }];
    await pull(client, clock);
    const row = await readTest(one.id);
    expect(row?.test).toMatchObject({ revision: 2, note: "second thought" });
    expect(row?.earlier.map((test) => test.note)).toEqual(["from the other phone"]);

    feed.changes = [{ ...one, sequence: 4, revision: 3, retracted: true, record: null, figures: null }];
    await pull(client, clock);
    expect((await readTest(one.id))?.retracted).toBe(true);
    expect((await listFigures())[0]?.figures).toBeNull();
  });

  test("held later by the server, and counted again: the log says so, and why", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, one];
    await pull(client, clock);
    const held = { ...one, state: "held" as const, record: null, figures: null };
    feed.changes = [{ ...held, sequence: 3, flags: ["out_of_line"] }];
    await pull(client, clock);
    const note = (await readTest(one.id))?.sync;
    expect(note).toMatchObject({ state: "held", problems: [{ code: "out_of_line" }] });
    expect(note && syncWords(note)).toBe("Sent, not counted yet");
    expect(note?.problems.map(remarkText)[0]).toMatch(/^This reading is far from the recent ones/);
    expect((await listFigures())[0]?.figures).toBeNull();

    feed.changes = [{ ...held, sequence: 4, state: "withheld", flags: ["withheld", "out_of_line"] }];
    await pull(client, clock);
    expect((await readTest(one.id))?.sync.problems.map((one) => one.code)).toEqual(["withheld", "out_of_line"]);

    feed.changes = [{ ...one, sequence: 5 }];
    await pull(client, clock);
    expect((await readTest(one.id))?.sync).toMatchObject({ state: "sent", problems: [] });
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1 });
  });

  test("what waits here is newer than what comes", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, one];
    await pull(client, clock);
    await reviseTest(one.id, { note: "still here" });
    feed.changes = [{ ...one, sequence: 3, revision: 3, record: { ...one.record, revision: 3, note: "from there" } }];
    await pull(client, clock);
    expect((await readTest(one.id))?.test.note).toBe("still here");
  });

  test("an old word about an earlier revision changes nothing", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, { ...one, revision: 2, record: { ...one.record, revision: 2 } }];
    await pull(client, clock);
    feed.changes = [{ ...one, sequence: 3, state: "held", record: null, figures: null }];
    await pull(client, clock);
    expect((await readTest(one.id))?.sync.state).toBe("sent");
  });

  test("an edited source of one's own is not set back by what the server still has", async () => {
    const source = pulledSource(1, { name: "Old name" });
    feed.changes = [source];
    await pull(client, clock);
    await editSource(source.id, { name: "New name" });
    feed.changes = [{ ...source, sequence: 2, region: "FR-15" }];
    await pull(client, clock);
    expect((await readSource(source.id))?.source).toMatchObject({ name: "New name", revision: 2, region: "FR-15" });
  });
});

test("only chosen regions are asked for, and a change of them begins anew and keeps only these", async () => {
  const there = pulledSource(1, { name: "Les Airelles" });
  feed.changes = [there];
  await pull(client, clock);
  const here = pulledSource(2);
  feed.changes = [here];
  settings.value = { ...DEFAULTS, regions: ["FR-15", "FR-63"] };
  await pull(client, clock);
  const asked = feed.server.seen.map(({ path }) => new URL(path, "http://x").searchParams);
  expect(asked.at(-1)?.get("region")).toBe("FR-15,FR-63");
  expect(asked.at(-1)?.get("cursor")).toBeNull();
  expect((await listFigures()).map((line) => line.name)).toEqual([here.record.name]);

  await pull(client, clock);
  expect(new URL(feed.server.seen.at(-1)?.path ?? "", "http://x").searchParams.get("cursor")).toBe("a.2");
  settings.value = DEFAULTS;
  await pull(client, clock);
  expect(feed.server.seen.at(-1)?.path).not.toContain("region");
});

test("a server without end of pages that stands still does not hang the phone", async () => {
  await feed.server.stop();
  feed.server = await LittleServer.start((_seen, response) =>
    json(response, { changes: [], cursor: "a.1", more: true }),
  );
  expect(await pull(new Client(feed.server.origin), clock)).toBe(0);
});

test("a page that comes after the phone became somebody else does not keep what came before it away", async () => {
  feed.changes = [pulledSource(1), pulledSource(2), pulledSource(3)];
  await pull(client, clock);
  const { secret } = await identity();
  const mine = await identityOf(secret);
  const other = "5a".repeat(32);
  const theirs = await identityOf(other);
  expect(mine.contributor).not.toBe(theirs.contributor);
  const old = { ...pulledSource(4), contributor: theirs.contributor };
  feed.changes = [old, pulledSource(5)];
  await pull(client, clock);
  expect((await readSource(old.id))?.source.own).toBe(false);
  feed.changes.push(pulledSource(6));
  feed.before = () => takeIdentity(other);
  await pull(client, clock);
  expect((await readSource(old.id))?.source.own).toBe(true);
});
