// Outlines and names of regions, from a real HTTP server into the phone's storage.
import { settings } from "@/state/signals";
import { applyPage } from "@/store/cursor";
import { listOutlines } from "@/store/outlines";
import { readRegionName } from "@/store/regions";
import { DEFAULTS, readFact } from "@/store/settings";
import { Client } from "@/sync/client";
import { learnOutlines, learnRegion } from "@/sync/outlines";
import { learnRegions } from "@/sync/regions";
import { pulledSource } from "../helpers/examples";
import { type Answering, json, LittleServer } from "./little-server";

const TRIANGLE = {
  type: "MultiPolygon",
  coordinates: [
    [
      [
        [2, 45],
        [3, 45],
        [3, 46],
        [2, 45],
      ],
    ],
  ],
};
const NAMES: Record<string, string> = { "FR-63": "Puy-de-Dôme", "FR-15": "Cantal" };

let little: LittleServer;

async function serve(answering: Answering): Promise<Client> {
  little = await LittleServer.start(answering);
  settings.value = { ...DEFAULTS, server: little.origin };
  return new Client(little.origin);
}

const regional: Answering = ({ path }, response) => {
  const code = path.split("/")[4] ?? "";
  const properties = { code, name: NAMES[code], country: "FR" };
  if (code in NAMES) json(response, { type: "Feature", properties, geometry: TRIANGLE });
  else json(response, { code: "not_found" }, 404);
};

afterEach(async () => {
  settings.value = DEFAULTS;
  await little.stop();
});

test("outlines are requested once per region with sources, and again when they change", async () => {
  const client = await serve(regional);
  const sources = [pulledSource(1), { ...pulledSource(2), region: "FR-15" }, { ...pulledSource(3), region: "XX" }];
  await applyPage(sources, { server: "", cursor: "a.3" }, true);
  await learnOutlines(client, "one");
  await learnOutlines(client, "one");
  expect(little.seen.map((one) => one.path)).toEqual([
    "/api/v1/regions/FR-15/outline",
    "/api/v1/regions/FR-63/outline",
    "/api/v1/regions/XX/outline",
  ]);
  expect(await listOutlines()).toEqual([
    { code: "FR-15", name: "Cantal", tag: "one", geometry: TRIANGLE },
    { code: "FR-63", name: "Puy-de-Dôme", tag: "one", geometry: TRIANGLE },
    { code: "XX", name: "XX", tag: "one", geometry: null },
  ]);
  await learnOutlines(client, "two");
  expect(little.seen).toHaveLength(6);
  expect((await listOutlines()).map((row) => row.tag)).toEqual(["two", "two", "two"]);
});

test("outlines received before the signal was lost are kept, and the rest requested later", async () => {
  const client = await serve((seen, response) => {
    if (seen.path.includes("FR-63")) json(response, { code: "broken" }, 500);
    else void regional(seen, response);
  });
  await applyPage([pulledSource(1), { ...pulledSource(2), region: "FR-15" }], { server: "", cursor: "a.2" }, true);
  await learnOutlines(client, "one");
  expect((await listOutlines()).map((row) => row.code)).toEqual(["FR-15"]);
  await learnOutlines(client, "one");
  expect(little.seen.map((one) => one.path.split("/")[4])).toEqual(["FR-15", "FR-63", "FR-63"]);
});

test("a server without outlines is not asked", async () => {
  const client = await serve(regional);
  await applyPage([pulledSource(1)], { server: "", cursor: "a.1" }, true);
  await learnOutlines(client, undefined);
  expect(little.seen).toEqual([]);
});

test("a region's name is learned once and is its code until then or if unknown", async () => {
  await serve(regional);
  expect(await readRegionName("FR-63")).toBe("FR-63");
  await learnRegion("FR-63");
  await learnRegion("FR-63");
  expect(await readRegionName("FR-63")).toBe("Puy-de-Dôme");
  expect(little.seen).toHaveLength(1);
  await learnRegion("XX-99");
  expect(await readRegionName("XX-99")).toBe("XX-99");
});

test("the list of regions is kept, and stays when the server does not answer", async () => {
  let status = 200;
  const regions = [{ code: "FR-15", name: "Cantal" }];
  await serve((_seen, response) => json(response, status === 200 ? { regions } : { code: "broken" }, status));
  await learnRegions();
  status = 500;
  await learnRegions();
  expect(await readFact("regions")).toEqual({ "FR-15": "Cantal" });
  expect(await readRegionName("FR-15")).toBe("Cantal");
});
