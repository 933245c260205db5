import { IDBFactory } from "fake-indexeddb";
import { computeHere } from "@/compute";
import type { News } from "@/model/news";
import type { Change } from "@/records";
import { applyPage } from "@/store/cursor";
import { refreshFigures } from "@/store/figures";
import { close } from "@/store/open";
import { readFact, writeFact } from "@/store/settings";
import { listStars } from "@/store/starred";
import { setStar, viewStars } from "@/store/stars";
import { saveTest } from "@/store/tests";
import { exportLog, importLog } from "@/store/transfer";
import { keeping, NOW, pulledSource, pulledTest, STRANGER } from "../helpers/examples";

const DAY = 86_400_000;
const CURSOR = { server: "", cursor: "a.1" };
const daysAgo = (days: number) => new Date(NOW.getTime() - days * DAY).toISOString();
const later = (hours: number) => new Date(NOW.getTime() + hours * 3_600_000);
const place = pulledSource(1);

/** Tests by three people, one every three days up to `last` days ago. */
function theirs(many: number, content: number, last: number): Change[] {
  return Array.from({ length: many }, (_, k) => ({
    ...pulledTest(10, place.id, { content: content + (k % 3) / 4, sampled_at: daysAgo(last + 3 * (many - 1 - k)) }),
    contributor: "abc".charAt(k % 3).repeat(16),
  }));
}

async function pulled(changes: Change[]): Promise<void> {
  await applyPage(changes, CURSOR, (await readFact("cursor")) === undefined);
}

async function fetched(changes: Change[]): Promise<void> {
  await pulled(changes);
  await writeFact("exchange", { succeeded_at: NOW.toISOString(), tried_at: NOW.toISOString(), trouble: null });
  await refreshFigures(NOW, computeHere);
}

async function news(now: Date, source = place.id): Promise<News[]> {
  return [...((await viewStars(now)).get(source) ?? [])];
}

test("starring and unstarring persist", async () => {
  await fetched([place]);
  expect([...(await listStars())]).toEqual([]);
  await setStar(place.id, true, NOW);
  close();
  expect([...(await listStars())]).toEqual([place.id]);
  await setStar(place.id, false, NOW);
  expect([...(await listStars())]).toEqual([]);
});

test("new tests are news on one visit and no longer on the next", async () => {
  await fetched([place, ...theirs(6, 75, 20)]);
  await setStar(place.id, true, NOW);
  expect(await news(NOW)).toEqual([]);
  await fetched(theirs(2, 75, 2));
  const told = [{ what: "tests", since: NOW.toISOString(), tests: 2 }];
  expect(await news(later(0.2))).toEqual(told);
  expect(await news(later(0.9))).toEqual(told);
  expect(await news(later(3))).toEqual([]);
  await fetched(theirs(1, 75, 1));
  expect(await news(later(40))).toEqual([{ what: "tests", since: later(3).toISOString(), tests: 1 }]);
});

test("own tests and the first download are not news", async () => {
  await pulled([place]);
  await setStar(place.id, true, NOW);
  expect(await news(NOW)).toEqual([]);
  await pulled(theirs(5, 75, 10));
  expect(await news(NOW)).toEqual([]);
  await fetched([]);
  expect(await news(later(0.1))).toEqual([]);
  await saveTest(keeping(place.id), NOW);
  expect(await news(later(0.2))).toEqual([]);
});

test("a drop since the last own fill is shown with both figures", async () => {
  await fetched([place, ...theirs(12, 84, 104)]);
  await setStar(place.id, true, NOW);
  await saveTest(keeping(place.id, { content: 84.3, sampled_at: daysAgo(102), tested_at: daysAgo(102) }), NOW);
  await refreshFigures(NOW, computeHere);
  expect(await news(NOW)).toEqual([]);
  await fetched(theirs(30, 75, 1));
  const told = await news(later(0.1));
  expect(told.map(({ what }) => what)).toEqual(["tests", "fill"]);
  expect(told[1]).toMatchObject({
    direction: "down",
    fill: { content: 84.3, expanded_uncertainty: 1.9, sampled_at: daysAgo(102) },
  });
  // It stays until one fills up there again.
  expect((await news(later(5))).map(({ what }) => what)).toEqual(["fill"]);
  await saveTest(keeping(place.id, { content: 75.2, sampled_at: daysAgo(1), tested_at: daysAgo(1) }), NOW);
  await refreshFigures(NOW, computeHere);
  expect(await news(later(10))).toEqual([]);
});

test("the star of a merged source moves to the survivor", async () => {
  const other = pulledSource(2, { name: "The same place" });
  await fetched([place, other]);
  await setStar(other.id, true, NOW);
  await fetched([{ ...other, sequence: 3, state: "merged", into: place.id } as Change]);
  expect([...(await listStars())]).toEqual([place.id]);
  await viewStars(NOW);
  await setStar(place.id, false, NOW);
  expect([...(await listStars())]).toEqual([]);
});

test("a log file carries stars to another phone, where nothing is news at first", async () => {
  await fetched([place, ...theirs(6, 75, 20)]);
  await setStar(place.id, true, NOW);
  const exported = await exportLog();
  expect(exported.stars).toEqual([{ source: place.id, starred_at: NOW.toISOString() }]);
  expect(exported.sources.map((row) => row.id)).toEqual([place.id]);
  close();
  globalThis.indexedDB = new IDBFactory();
  expect(await importLog({ ...exported, contributor: STRANGER })).toMatchObject({ stars: 1 });
  expect([...(await listStars())]).toEqual([place.id]);
  await fetched([place, ...theirs(6, 75, 20)]);
  expect(await news(later(100))).toEqual([]);
  expect(await importLog({ ...exported, contributor: STRANGER })).toMatchObject({ stars: 0 });
});
