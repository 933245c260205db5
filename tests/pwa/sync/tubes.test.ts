import { identity } from "@/store/identity";
import { readFact } from "@/store/settings";
import { Client } from "@/sync/client";
import { learnTubes } from "@/sync/tubes";
import { NOW } from "../helpers/examples";
import { json, LittleServer } from "./little-server";

const later = (hours: number) => new Date(NOW.getTime() + hours * 3_600_000);
const tubes = [{ tube: "a", offset: -6, uncertainty: 1, sources: 3, learned_at: NOW.toISOString() }];

let server: LittleServer;
afterEach(() => server.stop());

test("tubes are requested with the secret, and again only after some hours", async () => {
  server = await LittleServer.start((_, response) => json(response, { tubes }));
  const client = new Client(server.origin);
  const { secret } = await identity();
  await learnTubes(client, NOW);
  expect(server.seen[0]).toMatchObject({ method: "GET", path: "/api/v1/tubes" });
  expect(server.seen[0]?.headers.authorization).toBe(`Bearer ${secret}`);
  expect((await readFact("tubes"))?.tubes).toEqual(tubes);
  await learnTubes(client, later(5));
  expect(server.seen).toHaveLength(1);
  await learnTubes(client, later(7));
  expect(server.seen).toHaveLength(2);
});

test("a server without this endpoint does no harm", async () => {
  server = await LittleServer.start((_, response) => json(response, { code: "not_found" }, 404));
  await learnTubes(new Client(server.origin), NOW);
  expect(await readFact("tubes")).toBeUndefined();
});
