import { computeHere } from "@/compute";
import { settings } from "@/state/signals";
import { Client } from "@/sync/client";
import { exchange } from "@/sync/exchange";
import { type Means, SyncSchedule } from "@/sync/when";
import { json, LittleServer } from "./little-server";

const DOCUMENT = { code: "too_many", detail: "Too much was sent with one secret in a short time.", problems: [] };

let server: LittleServer;
afterEach(() => server.stop());

/** A schedule that asks nobody any more, and holds nobody up, once its test is over. */
function schedule(means: Partial<Means> = {}): SyncSchedule {
  let isOver = false;
  let last: ReturnType<Means["exchange"]> = Promise.resolve(undefined);
  const ask = () => {
    if (!isOver) last = exchange(() => new Date(), computeHere);
    return last;
  };
  onTestFinished(async () => {
    isOver = true;
    last = last.then(() => undefined);
    await last;
  });
  return new SyncSchedule({ exchange: ask, steady: () => performance.now(), random: Math.random, ...means });
}

test("a server that says when to come back is left alone until then, whatever the user taps", async () => {
  const times: number[] = [];
  server = await LittleServer.start((_seen, response) => {
    times.push(Date.now());
    json(response, DOCUMENT, 429, { "Retry-After": "5" });
  });
  settings.value = { ...settings.value, server: server.origin };
  const { exchangeNow } = schedule();
  await exchangeNow();
  await exchangeNow();
  await exchangeNow();
  expect(times).toHaveLength(1);
  await vi.waitUntil(() => times.length > 1, { timeout: 60_000 });
  // The phone's own wait after a first failure is below 4 s, so a longer one comes from the server.
  expect((times[1] as number) - (times[0] as number)).toBeGreaterThanOrEqual(4900);
}, 90_000);

test("a timer that fires slightly early does not stop the sync", async () => {
  server = await LittleServer.start((_seen, response) => json(response, DOCUMENT, 503));
  settings.value = { ...settings.value, server: server.origin };
  const { exchangeNow } = schedule({ steady: () => 0, random: () => 0 });
  await exchangeNow();
  const asked = server.seen.length;
  await vi.waitUntil(() => server.seen.length > asked, { timeout: 20_000 });
}, 30_000);

test("a new server address is contacted at once", async () => {
  server = await LittleServer.start((_seen, response) => json(response, DOCUMENT, 429, { "Retry-After": "3600" }));
  settings.value = { ...settings.value, server: server.origin };
  const { exchangeNow } = schedule();
  await exchangeNow();
  await server.stop();
  server = await LittleServer.start((_seen, response) => json(response, DOCUMENT, 503));
  settings.value = { ...settings.value, server: server.origin };
  await exchangeNow();
  expect(server.seen.length).toBeGreaterThan(0);
});

test.each([
  ["120", 120],
  ["0", 0],
  ["Thu, 12 Mar 2026 14:00:30 GMT", 30],
  ["Thu, 12 Mar 2026 13:00:00 GMT", 0],
  ["soon", null],
])("Retry-After: %s", async (said, seconds) => {
  const date = "Thu, 12 Mar 2026 14:00:00 GMT";
  server = await LittleServer.start((_seen, response) =>
    json(response, DOCUMENT, 429, { "Retry-After": said, Date: date }),
  );
  const request = new Client(server.origin).json({ path: "/healthz" });
  await expect(request).rejects.toMatchObject({ code: "server_fault", status: 429, retryAfter: seconds });
});
