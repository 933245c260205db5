import type { OutboxEntry } from "@/rows/test";
import { identity, takeIdentity } from "@/store/identity";
import { countUnsent, nextBatch, retryParked } from "@/store/outbox";
import { addSource, editSource, readSource } from "@/store/sources";
import { readTest, retractTest, reviseTest, saveTest } from "@/store/tests";
import { Client } from "@/sync/client";
import { drain } from "@/sync/outbox";
import { entry, keeping, NOW, refused, stored } from "../helpers/examples";
import { type Answering, json, LittleServer } from "./little-server";

const clock = () => NOW;

let server: LittleServer;
async function serving(answering: Answering): Promise<Client> {
  server = await LittleServer.start(answering);
  return new Client(server.origin);
}
afterEach(() => server.stop());

function recordsOf(body: Buffer): OutboxEntry["record"][] {
  return JSON.parse(body.toString()).records;
}

const allWell: Answering = (seen, response) =>
  json(response, {
    answers: recordsOf(seen.body).map((one) => stored(one as never)),
    received_at: "2026-03-12T14:06:00Z",
  });

async function oneTest(name = "Col du Frene") {
  const source = await addSource(entry({ name }), true, NOW);
  return saveTest(keeping(source), NOW);
}

test("sends the source before its test, with the secret, and empties the queue", async () => {
  const kept = await oneTest();
  const client = await serving(allWell);
  const { secret } = await identity();
  expect(await drain(client, clock)).toBe(2);
  const [push] = server.seen;
  expect(push).toMatchObject({ method: "POST", path: "/api/v1/push" });
  expect(push?.headers).toMatchObject({ authorization: `Bearer ${secret}`, "content-type": "application/json" });
  const [source, test] = recordsOf(push?.body as Buffer);
  expect(source).toEqual({
    kind: "source",
    id: kept.source,
    revision: 1,
    name: "Col du Frene",
    latitude: 45.31,
    longitude: 2.52,
    recorded_at: NOW.toISOString(),
    subdivision: null,
    pump: "3",
    notes: "",
  });
  expect(test).toEqual({ ...kept.test, consent: "CC0-1.0" });
  expect(await countUnsent()).toEqual({ unsent: 0, parked: 0 });
  expect((await readTest(kept.id))?.sync).toMatchObject({ state: "sent", revision: 1 });
});

test("refused records are parked, the rest is sent, and a retry is possible", async () => {
  const bad = await oneTest();
  const good = await oneTest("Pont du Loup");
  const client = await serving((seen, response) => {
    const answers = recordsOf(seen.body).map((one) =>
      one.id === bad.id ? refused(one as never) : stored(one as never),
    );
    json(response, { answers, received_at: "2026-03-12T14:06:00Z" });
  });
  await drain(client, clock);
  expect((await readTest(good.id))?.sync.state).toBe("sent");
  expect((await readTest(bad.id))?.sync).toMatchObject({
    state: "refused",
    problems: [{ code: "line_below_water", sentence: "The line is below the water mark." }],
  });
  expect(await countUnsent()).toEqual({ unsent: 1, parked: 1 });
  await drain(client, clock);
  expect(server.seen).toHaveLength(1);

  await retryParked({ kind: "test", id: bad.id });
  expect((await readTest(bad.id))?.sync.state).toBe("waiting");
  await drain(client, clock);
  expect(server.seen).toHaveLength(2);
});

test("a held test shows the reason and no longer counts on this phone", async () => {
  const kept = await oneTest();
  const problem = { code: "twin", field: "", value: "", limit: "", sentence: "The same reading was sent before." };
  const client = await serving((seen, response) => {
    const answers = recordsOf(seen.body).map((one) => ({
      ...stored(one as never),
      status: "held",
      problems: [problem],
    }));
    json(response, { answers, received_at: "2026-03-12T14:06:00Z" });
  });
  await drain(client, clock);
  expect((await readTest(kept.id))?.sync).toMatchObject({ state: "held", problems: [problem] });
});

test("after a lost answer everything stays queued and is simply sent again", async () => {
  const kept = await oneTest();
  let lost = true;
  const client = await serving((seen, response) => {
    if (lost) response.destroy();
    else void allWell(seen, response);
  });
  await expect(drain(client, clock)).rejects.toMatchObject({ name: "Trouble", code: "no_answer" });
  expect((await readTest(kept.id))?.sync.state).toBe("waiting");
  expect(await countUnsent()).toEqual({ unsent: 2, parked: 0 });
  lost = false;
  expect(await drain(client, clock)).toBe(2);
});

test.each([
  ["a captive portal's page", 200, "<html>Welcome</html>", "not_understood"],
  ["an answer for fewer records", 200, '{"answers":[],"received_at":"2026-03-12T14:06:00Z"}', "not_understood"],
  ["a server fault", 503, '{"code":"down"}', "server_fault"],
  ["a stranger's secret", 401, '{"code":"secret_missing"}', "not_admitted"],
])("%s changes nothing in the queue", async (_, status, body, code) => {
  await oneTest();
  const client = await serving((_seen, response) => {
    response.writeHead(status).end(body);
  });
  await expect(drain(client, clock)).rejects.toMatchObject({ code });
  expect(await countUnsent()).toEqual({ unsent: 2, parked: 0 });
});

test("a server that never answers times out", async () => {
  const client = await serving(() => undefined);
  await expect(client.json({ path: "/healthz", patience: 100 })).rejects.toMatchObject({ code: "too_slow" });
});

test("a record that breaks its batch is found by halving and parked alone", async () => {
  const tests = [await oneTest("A"), await oneTest("B"), await oneTest("C")];
  const bad = tests[1]?.id;
  const client = await serving((seen, response) => {
    if (recordsOf(seen.body).some((one) => one.id === bad)) {
      json(response, { code: "body_unreadable", detail: "The body is not understood.", problems: [] }, 400);
    } else void allWell(seen, response);
  });
  await drain(client, clock);
  const states = await Promise.all(tests.map(async (one) => (await readTest(one.id))?.sync.state));
  expect(states).toEqual(["sent", "refused", "sent"]);
  expect((await readTest(bad as string))?.sync.problems[0]?.sentence).toBe("The body is not understood.");
});

/** A server that fails on batches with certain records, and counts how often. */
function failingOver(ids: Set<string>): { answering: Answering; failures: () => number } {
  let failures = 0;
  const answering: Answering = (seen, response) => {
    if (recordsOf(seen.body).every((one) => !ids.has(one.id))) return allWell(seen, response);
    failures += 1;
    json(response, { code: "fault", detail: "The server has a fault.", problems: [] }, 500);
  };
  return { answering, failures: () => failures };
}

test("a record the server fails on waits, and the others are sent", async () => {
  const tests = [];
  for (let n = 0; n < 30; n += 1) tests.push(await oneTest(`Place ${n}`));
  const bad = tests[7]?.id as string;
  const { answering } = failingOver(new Set([bad]));
  const client = await serving(answering);
  await expect(drain(client, clock)).rejects.toMatchObject({ code: "server_fault", status: 500 });
  expect(await countUnsent()).toEqual({ unsent: 1, parked: 0 });
  expect((await readTest(bad))?.sync.state).toBe("waiting");
  expect((await nextBatch()).map((one) => one.id)).toEqual([bad]);
});

test("tests of a source the server fails on wait with it", async () => {
  const kept = await oneTest("A");
  const other = await oneTest("B");
  const client = await serving(failingOver(new Set([kept.source])).answering);
  await expect(drain(client, clock)).rejects.toMatchObject({ status: 500 });
  expect((await nextBatch()).map((one) => one.id)).toEqual([kept.source, kept.id]);
  expect((await readTest(other.id))?.sync.state).toBe("sent");
});

test("a server that fails on everything is soon left alone", async () => {
  const tests = [];
  for (let n = 0; n < 30; n += 1) tests.push(await oneTest(`Place ${n}`));
  const { answering, failures } = failingOver(new Set(tests.flatMap((one) => [one.id, one.source])));
  await expect(drain(await serving(answering), clock)).rejects.toMatchObject({ status: 500 });
  expect(failures()).toBe(13);
  expect(await countUnsent()).toEqual({ unsent: 60, parked: 0 });
});

test("a server that failed once is sent the rest", async () => {
  await oneTest("A");
  await oneTest("B");
  let asked = 0;
  const client = await serving((seen, response) => {
    asked += 1;
    if (asked === 1) json(response, {}, 500);
    else void allWell(seen, response);
  });
  expect(await drain(client, clock)).toBe(4);
});

test("a revision made during sending is sent next", async () => {
  const kept = await oneTest();
  const states: (string | undefined)[] = [];
  const client = await serving(async (seen, response) => {
    states.push((await readTest(kept.id))?.sync.state);
    if (states.length === 1) await reviseTest(kept.id, { note: "later thought" });
    void allWell(seen, response);
  });
  await drain(client, clock);
  const sent = server.seen.flatMap((one) => recordsOf(one.body)).filter((one) => one.kind === "test");
  expect(sent.map((one) => one.revision)).toEqual([1, 2]);
  expect(states).toEqual(["waiting", "waiting"]);
  expect((await readTest(kept.id))?.sync).toMatchObject({ state: "sent", revision: 2 });
});

test("tests of a refused source wait until it is corrected", async () => {
  const bad = await oneTest("A");
  const good = await oneTest("B");
  let mended = false;
  const client = await serving((seen, response) => {
    const isBad = (one: OutboxEntry["record"]) => !mended && (one.id === bad.source || one.id === bad.id);
    const answers = recordsOf(seen.body).map((one) => (isBad(one) ? refused(one as never) : stored(one as never)));
    json(response, { answers, received_at: "2026-03-12T14:06:00Z" });
  });
  await drain(client, clock);
  expect((await readTest(good.id))?.sync.state).toBe("sent");
  expect((await readTest(bad.id))?.sync.state).toBe("waiting");
  expect((await readSource(bad.source))?.source.sync?.state).toBe("refused");
  expect(await nextBatch()).toEqual([]);

  mended = true;
  await editSource(bad.source, { name: "A mended" });
  await drain(client, clock);
  expect((await readTest(bad.id))?.sync.state).toBe("sent");
  expect((await readSource(bad.source))?.source).toMatchObject({ name: "A mended", sync: { state: "sent" } });
});

test("sources are sent first, even if the batch has no room for more", async () => {
  await oneTest("A");
  await oneTest("B");
  expect((await nextBatch(2)).map((one) => one.kind)).toEqual(["source", "source"]);
});

test("a sent source that is edited is a new revision", async () => {
  const kept = await oneTest();
  const client = await serving(allWell);
  await drain(client, clock);
  await editSource(kept.source, { pump: "4" });
  await drain(client, clock);
  expect(recordsOf(server.seen.at(-1)?.body as Buffer)).toMatchObject([{ id: kept.source, revision: 2, pump: "4" }]);
});

test("a test withdrawn after a lost answer is withdrawn on the server too", async () => {
  const kept = await oneTest();
  const client = await serving((_, response) => {
    response.destroy();
  });
  await expect(drain(client, clock)).rejects.toThrow();
  await retractTest(kept.id);
  expect((await nextBatch()).at(-1)?.record).toEqual({ kind: "test", id: kept.id, revision: 2, retracted: true });
});

test("after an identity change the rest is sent under the new identity", async () => {
  await oneTest();
  const { secret } = await identity();
  const other = "cd".repeat(32);
  const client = await serving((seen, response) => {
    if (recordsOf(seen.body).length === 1) return allWell(seen, response);
    takeIdentity(other).then(() => json(response, { code: "too_large" }, 413));
  });
  expect(await drain(client, clock)).toBe(2);
  const senders = server.seen.map((one) => one.headers.authorization);
  expect(senders).toEqual([`Bearer ${secret}`, `Bearer ${other}`, `Bearer ${other}`]);
});

test("batches stay below 500 records and one MiB", async () => {
  const source = await addSource(entry(), true, NOW);
  for (let at = 0; at < 520; at += 1) await saveTest(keeping(source, { note: at < 20 ? "x".repeat(1000) : "" }), NOW);
  // The source, and as many of the long notes as fit.
  const small = await nextBatch(500, new Map(), 10_000);
  expect(small.length).toBeGreaterThan(1);
  expect(JSON.stringify(small.map((one) => one.record)).length).toBeLessThanOrEqual(10_000);
  const client = await serving(allWell);
  expect(await drain(client, clock)).toBe(521);
  expect(server.seen.map((one) => recordsOf(one.body).length)).toEqual([500, 21]);
}, 60_000);
