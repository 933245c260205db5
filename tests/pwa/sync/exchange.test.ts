import { computeHere } from "@/compute";
import { clockBehind, server, settings } from "@/state/signals";
import { countUnsent } from "@/store/outbox";
import { retractSource } from "@/store/retract-source";
import { DEFAULTS, readFact, saveSettings } from "@/store/settings";
import { addSource } from "@/store/sources";
import { readTest, saveTest } from "@/store/tests";
import { exchange } from "@/sync/exchange";
import { entry, keeping, NOW, pulledSource, stored } from "../helpers/examples";
import { livePage } from "../helpers/page";
import { type Answering, json, LittleServer } from "./little-server";

const clock = () => NOW;
let little: LittleServer;

async function serving(answering: Answering): Promise<void> {
  little = await LittleServer.start(answering);
  settings.value = { ...DEFAULTS, server: little.origin };
}
beforeEach(async () => {
  await livePage();
});
afterEach(async () => {
  await little?.stop();
  settings.value = DEFAULTS;
});

const allWell: Answering = (seen, response) => {
  if (seen.path === "/healthz") return json(response, { status: "ok", version: "0", invented: true });
  if (seen.path === "/api/v1/push") {
    const { records } = JSON.parse(seen.body.toString());
    return json(response, { answers: records.map(stored), received_at: NOW.toISOString() });
  }
  return json(response, { changes: [pulledSource(1)], cursor: "a.1", more: false });
};

async function oneTest() {
  const source = await addSource(entry(), true, NOW);
  return saveTest(keeping(source), NOW);
}

test("an exchange pushes, pulls and records its success", async () => {
  await oneTest();
  await serving(allWell);
  expect(await exchange(clock, computeHere)).toBeNull();
  const road = ["/healthz", "/api/v1/push", "/api/v1/contributors", "/api/v1/pull?limit=500", "/api/v1/tubes"];
  expect(little.seen.map((one) => one.path)).toEqual(road);
  expect(await readFact("exchange")).toEqual({
    succeeded_at: NOW.toISOString(),
    tried_at: NOW.toISOString(),
    trouble: null,
  });
  expect(await readFact("demo")).toBe(true);
  expect(server.value.busy).toBe(false);
});

test("the Date header gives the phone's clock error", async () => {
  const kept = await oneTest();
  await serving((seen, response) => {
    response.setHeader("Date", "Thu, 12 Mar 2028 14:05:00 GMT");
    return allWell(seen, response);
  });
  expect(await exchange(clock, computeHere)).toBeNull();
  const behind = Date.parse("2028-03-12T14:05:00.500Z") - NOW.getTime();
  expect(await readFact("clock")).toEqual({ behind, checked_at: NOW.toISOString() });
  expect(clockBehind.value).toBe(behind);
  expect((await readTest(kept.id))?.clock_behind).toBe(behind);
});

test("a server that fails on one record is still pulled from, and the failure is reported", async () => {
  const { id } = await oneTest();
  await serving((seen, response) => {
    if (seen.path === "/api/v1/push" && seen.body.includes(id)) return json(response, {}, 500);
    return allWell(seen, response);
  });
  expect(await exchange(clock, computeHere)).toMatchObject({ code: "server_fault", status: 500 });
  expect(await countUnsent()).toEqual({ unsent: 1, parked: 0 });
  expect((await readFact("cursor"))?.cursor).toBe("a.1");
  expect(await readFact("exchange")).toMatchObject({ succeeded_at: null, trouble: "server_fault" });
});

test("a restored server is sent what it lost in the same exchange", async () => {
  const { id, source } = await oneTest();
  const gone = await addSource(entry({ name: "Bois Lambert" }), true, NOW);
  await serving((seen, response) =>
    seen.path.startsWith("/api/v1/pull")
      ? json(response, { changes: [], cursor: "a.1", more: false })
      : allWell(seen, response),
  );
  await saveSettings({ server: little.origin });
  expect(await exchange(clock, computeHere)).toBeNull();
  expect(await retractSource(gone)).toBeNull();
  expect(await exchange(clock, computeHere)).toBeNull();
  await little.stop();
  expect((await countUnsent()).unsent).toBe(0);

  const restored: Answering = (seen, response) => {
    if (seen.path.includes("cursor=a.1")) return json(response, { code: "cursor_expired" }, 410);
    if (seen.path.startsWith("/api/v1/pull")) return json(response, { changes: [], cursor: "b.1", more: false });
    return allWell(seen, response);
  };
  const port = Number(new URL(little.origin).port);
  little = await LittleServer.start(restored, port);
  expect(await exchange(clock, computeHere)).toBeNull();
  const road = [
    "/healthz",
    "/api/v1/contributors",
    "/api/v1/pull?limit=500&cursor=a.1",
    "/api/v1/pull?limit=500",
    "/api/v1/push",
  ];
  expect(little.seen.map((one) => one.path).slice(0, 5)).toEqual(road);
  const { records } = JSON.parse(little.seen[4]?.body.toString() ?? "");
  expect(records).toMatchObject([
    { kind: "source", id: source, revision: 1 },
    { kind: "source", id: gone, revision: 2, retracted: true },
    { kind: "test", id, revision: 1 },
  ]);
  expect((await countUnsent()).unsent).toBe(0);
});

test("a dead network keeps the last success beside the error", async () => {
  await serving(allWell);
  await exchange(clock, computeHere);
  await little.stop();
  await oneTest();
  const later = new Date(NOW.getTime() + 60_000);
  expect(await exchange(() => later, computeHere)).toMatchObject({ code: "no_answer" });
  expect(await readFact("exchange")).toEqual({
    succeeded_at: NOW.toISOString(),
    tried_at: later.toISOString(),
    trouble: "no_answer",
  });
  expect((await countUnsent()).unsent).toBe(2);
});

test("a server that rejects the secret is still pulled from", async () => {
  await oneTest();
  await serving((seen, response) =>
    seen.path === "/api/v1/push" ? json(response, { code: "not_yours" }, 401) : allWell(seen, response),
  );
  expect(await exchange(clock, computeHere)).toMatchObject({ code: "not_admitted" });
  expect(little.seen.at(-1)?.path).toBe("/api/v1/pull?limit=500");
  expect((await countUnsent()).unsent).toBe(2);
});

test("the wait requested by a busy server is returned with the error", async () => {
  await serving((_, response) => json(response, { code: "busy" }, 503, { "Retry-After": "17" }));
  expect(await exchange(clock, computeHere)).toMatchObject({ code: "server_fault", retryAfter: 17 });
});
