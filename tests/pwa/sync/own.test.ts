// Own records sent by another phone with the same secret.
import { createHash, createHmac } from "node:crypto";
import { computeHere } from "@/compute";
import { newId } from "@/ids";
import type { Change } from "@/records";
import { remarkText } from "@/screens/shared/record-words";
import { listFigures } from "@/store/figure-rows";
import { run } from "@/store/open";
import { editSource, readSource } from "@/store/sources";
import { readTest, reviseTest } from "@/store/tests";
import type { Client } from "@/sync/client";
import { pull } from "@/sync/pull";
import { syncWords } from "@/sync/words";
import { NOW, pulledSource, pulledTest, STRANGER } from "../helpers/examples";
import { Feed } from "./feed";

const clock = () => NOW;

let feed: Feed;
let client: Client;
beforeEach(async () => {
  feed = new Feed();
  client = await feed.start();
});
afterEach(() => feed.server.stop());

/** The public form of a change by this secret's owner, computed with Node's crypto. */
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

  test("the other phone's tests are found by their pseudonym and come complete", async () => {
    const source = pulledSource(1);
    const tube = { ...pulledTest(9, "").record.tube, calibration: [{ nominal: 50, true: 50.2 }] };
    const times = ["2025-12-31T23:30:00+01:00", "2026-01-01T00:30:00+01:00"];
    const whole = times.map((at, n) => pulledTest(2 + n, source.id, { tube, sampled_at: at, tested_at: at }));
    const other = pulledTest(4, source.id);
    feed.own = whole;
    feed.changes = [source, ...whole.map((one) => seen(one, "ef".repeat(32))), seen(other, "ab".repeat(32))];
    await pull(client, clock, computeHere);
    for (const one of whole)
      expect((await readTest(one.id))?.test).toMatchObject({ tube, tested_at: one.record.tested_at });
    expect(await readTest(other.id)).toBeUndefined();
    const asked = feed.server.seen.filter(({ path }) => path.startsWith("/api/v1/own"));
    expect(asked.map(({ headers }) => headers.authorization)).toEqual([`Bearer ${"ef".repeat(32)}`]);
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 3, contributors: 2 });

    // If nothing is new, nothing is requested.
    feed.epoch = "b";
    await pull(client, clock, computeHere);
    expect(feed.server.seen.filter(({ path }) => path.startsWith("/api/v1/own"))).toHaveLength(1);
  });

  test("if the server does not return them they are requested later", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.own = [];
    feed.changes = [source, seen(one, "ef".repeat(32))];
    await pull(client, clock, computeHere);
    expect(await readTest(one.id)).toBeUndefined();
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1 });
  });

  test("a test sent by the other phone appears in this log with its changes and withdrawal", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id, { note: "from the other phone" });
    feed.changes = [source, one];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.test.note).toBe("from the other phone");
    expect((await readTest(one.id))?.sync).toMatchObject({ state: "sent", revision: 1 });
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1, contributors: 1 });

    const record = { ...one.record, revision: 2, note: "second thought" };
    feed.changes = [{ ...one, sequence: 3, revision: 2, record }];
    await pull(client, clock, computeHere);
    const row = await readTest(one.id);
    expect(row?.test).toMatchObject({ revision: 2, note: "second thought" });
    expect(row?.earlier.map((test) => test.note)).toEqual(["from the other phone"]);

    feed.changes = [{ ...one, sequence: 4, revision: 3, retracted: true, record: null, figures: null }];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.retracted).toBe(true);
    expect((await listFigures())[0]?.figures).toBeNull();
  });

  test("a test held later and released again is shown so with the reason", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, one];
    await pull(client, clock, computeHere);
    const held = { ...one, state: "held" as const, record: null, figures: null };
    feed.changes = [{ ...held, sequence: 3, flags: ["out_of_line"] }];
    await pull(client, clock, computeHere);
    const note = (await readTest(one.id))?.sync;
    expect(note).toMatchObject({ state: "held", problems: [{ code: "out_of_line" }] });
    expect(note && syncWords(note)).toBe("Sent, not counted yet");
    expect(note?.problems.map(remarkText)[0]).toMatch(/^This reading is far from the recent ones/);
    expect((await listFigures())[0]?.figures).toBeNull();

    feed.changes = [{ ...held, sequence: 4, state: "withheld", flags: ["withheld", "out_of_line"] }];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.sync.problems.map((one) => one.code)).toEqual(["withheld", "out_of_line"]);

    feed.changes = [{ ...one, sequence: 5 }];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.sync).toMatchObject({ state: "sent", problems: [] });
    expect((await listFigures())[0]?.figures).toMatchObject({ tests: 1 });
  });

  test("a queued change wins over an incoming one", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, one];
    await pull(client, clock, computeHere);
    await reviseTest(one.id, { note: "still here" });
    feed.changes = [{ ...one, sequence: 3, revision: 3, record: { ...one.record, revision: 3, note: "from there" } }];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.test.note).toBe("still here");
  });

  test("a late answer about an earlier revision changes nothing", async () => {
    const source = pulledSource(1);
    const one = pulledTest(2, source.id);
    feed.changes = [source, { ...one, revision: 2, record: { ...one.record, revision: 2 } }];
    await pull(client, clock, computeHere);
    feed.changes = [{ ...one, sequence: 3, state: "held", record: null, figures: null }];
    await pull(client, clock, computeHere);
    expect((await readTest(one.id))?.sync.state).toBe("sent");
  });

  test("an edited own source is not overwritten by the server's older revision", async () => {
    const source = pulledSource(1, { name: "Old name" });
    feed.changes = [source];
    await pull(client, clock, computeHere);
    await editSource(source.id, { name: "New name" });
    feed.changes = [{ ...source, sequence: 2, region: "FR-15" }];
    await pull(client, clock, computeHere);
    expect((await readSource(source.id))?.source).toMatchObject({ name: "New name", revision: 2, region: "FR-15" });
  });
});
