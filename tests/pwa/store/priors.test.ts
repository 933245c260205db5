import { computeHere } from "@/compute";
import type { Change } from "@/records";
import { recordOf } from "@/rows/tube";
import type { Season } from "@/statistics/season";
import { applyPage } from "@/store/cursor";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { comparedToOthers, offsetOf } from "@/store/priors";
import { readFact, writeFact } from "@/store/settings";
import { readSource } from "@/store/sources";
import { NOW, pulledSource, pulledTest, tubeRow } from "../helpers/examples";

const DAY = 86_400_000;
const CURSOR = { server: "https://here.example", cursor: "a.1" };

/** A winter blend that is 4 points weaker, by date. */
function season(day: number): number {
  return 4 * Math.cos((2 * Math.PI * (day - 196)) / 365.2425);
}

const PEOPLE = ["aaaaaaaaaaaaaaaa", "bbbbbbbbbbbbbbbb", "cccccccccccccccc"] as const;
const TUBES = PEOPLE.map(() => recordOf(tubeRow()));

/**
 * Fortnightly tests of one source over 14 months by three people in turn, in another order at each source; the second
 * one's tube has an offset.
 */
function tests(first: number, source: string, level: (day: number) => number, off = 0): Change[] {
  return Array.from({ length: 30 }, (_, k) => {
    const at = new Date(NOW.getTime() - (29 - k) * 14 * DAY - DAY);
    const day = (at.getTime() / DAY) % 365.2425;
    const noise = [0.4, -0.7, 0.1, 0.8, -0.5][k % 5] as number;
    const who = (k + first / 100) % 3;
    const content = level(k) + season(day) + noise + (who === 1 ? off : 0);
    const tube = TUBES[who] as (typeof TUBES)[number];
    const change = pulledTest(first + k, source, { content, sampled_at: at.toISOString(), tube });
    return { ...change, contributor: PEOPLE[who] as string };
  });
}

async function figuresOf(name: string) {
  return (await listFigures()).find((row) => row.name === name)?.figures;
}

async function seasonLearned(): Promise<Season | null> {
  const priors = (await readFact("lessons"))?.["FR-63"]?.lessons;
  return priors && "season" in priors ? priors.season : null;
}

test("the season of a region is learned and does not count as unsteadiness", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 74 + n)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW, computeHere);
  const { deviations } = (await seasonLearned()) as Season;
  expect(deviations[0]).toBeLessThan(-2.5);
  expect(deviations[12]).toBeGreaterThan(2.5);
  expect((await figuresOf("Source 1"))?.tau).toBeLessThan(1);
  expect((await listFigures()).every((row) => row.stale === 0)).toBe(true);
});

test("a change of supplier is dated, and readings since then count", async () => {
  const steady = pulledSource(1, { name: "Steady" });
  const moved = pulledSource(2, { name: "Moved" });
  const third = pulledSource(3, { name: "Third" });
  await applyPage(
    [
      steady,
      ...tests(100, steady.id, () => 76),
      moved,
      ...tests(200, moved.id, (k) => (k < 18 ? 80 : 73)),
      third,
      ...tests(300, third.id, () => 75),
    ],
    CURSOR,
    true,
  );
  await refreshFigures(NOW, computeHere);
  const found = await figuresOf("Moved");
  expect(found?.changes.map((change) => change.direction)).toEqual(["down"]);
  const weeks = (NOW.getTime() - Date.parse(found?.changes[0]?.at as string)) / (7 * DAY);
  expect(weeks).toBeGreaterThan(18);
  expect(weeks).toBeLessThan(30);
  expect((await figuresOf("Steady"))?.changes).toEqual([]);
});

test("the offset of a tube that reads low among others is found", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 75, -6)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW, computeHere);
  const [sound, low] = await Promise.all(PEOPLE.map((who, n) => offsetOf(who, TUBES[n]?.id as string)));
  expect(low?.offset).toBeLessThan(-4);
  expect(low?.sources).toBe(3);
  expect(Math.abs(sound?.offset as number)).toBeLessThan(1);
  expect(await offsetOf("dddddddddddddddd", TUBES[0]?.id as string)).toBeNull();
  // Its readings count with the offset as added uncertainty, so they move little.
  expect(Math.abs(((await figuresOf("Source 1"))?.typical as number) - 75 - season(NOW.getTime() / DAY))).toBeLessThan(
    1.5,
  );
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[1] });
  expect(await comparedToOthers(TUBES[1]?.id as string)).toMatchObject({ verdict: "low", sources: 3 });
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[0] });
  expect(await comparedToOthers(TUBES[0]?.id as string)).toMatchObject({ verdict: "agrees" });
  expect(await comparedToOthers("a tube that nobody else has")).toBeNull();
});

test("the server's figure is used if it is newer than the phone's own", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 75, -6)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW, computeHere);
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[1] as string });
  const tube = TUBES[1]?.id as string;
  const theirs = (days: number, sources = 5) => {
    const learned_at = new Date(NOW.getTime() + days * DAY).toISOString();
    const some = { tube, offset: 0.2, uncertainty: 0.4, learned_at };
    const tubes = [
      { ...some, sources: 1 },
      { ...some, sources },
    ];
    return writeFact("tubes", { server: "", asked_at: learned_at, tubes });
  };
  await theirs(-1);
  expect(await comparedToOthers(tube)).toMatchObject({ verdict: "low", by: "phone", learned_at: NOW.toISOString() });
  await theirs(1);
  expect(await comparedToOthers(tube)).toMatchObject({ verdict: "agrees", by: "server", sources: 5 });
  // One source gives only one other tube: not reported.
  await theirs(1, 1);
  expect(await comparedToOthers(tube)).toMatchObject({ by: "phone" });
});

test("an earlier version's results are relearned, and its offsets apply until then", async () => {
  const places = [1, 2].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 75)]);
  const former = { months: Array.from({ length: 12 }, () => 1), prior_scale: 2, offsets: { "a/b": offset(0.5) } };
  await writeFact("lessons", {
    "FR-63": { lessons: former, tests: 60 },
    "FR-15": { lessons: former, tests: 60 },
  });
  await applyPage(changes, CURSOR, true);
  expect((await readSource(places[0]?.id as string))?.season).toBeNull();
  expect(await offsetOf("a", "b")).toMatchObject(offset(0.5));
  await refreshFigures(NOW, computeHere);
  expect((await seasonLearned())?.deviations).toHaveLength(24);
  expect((await readSource(places[0]?.id as string))?.season?.deviations).toHaveLength(24);
});

function offset(value: number) {
  return { offset: value, uncertainty: 0.4, sources: 2 };
}

const noon = (time = "") => `${time.slice(0, 10)}T12:00:00.000Z`;

test("a gross error by anyone is marked and hardly moves its source", async () => {
  const place = pulledSource(1);
  const all = tests(100, place.id, (k) => (k === 20 ? 45 : 75));
  await applyPage([place, ...all], CURSOR, true);
  await refreshFigures(NOW, computeHere);
  const page = await readSource(place.id);
  const wrong = page?.tests.filter((one) => one.wrong) ?? [];
  expect(wrong.map((one) => one.id)).toEqual([all[20]?.id]);
  expect(page?.figures?.figures?.wrong).toEqual([{ at: noon(wrong[0]?.sampled_at), contributor: PEOPLE[21 % 3] }]);
  expect(Math.abs((page?.figures?.figures?.typical as number) - 75 - season(NOW.getTime() / DAY))).toBeLessThan(1.5);
  // On its author's phone it is an own test.
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[21 % 3] as string });
  expect((await readSource(place.id))?.tests.filter((one) => one.wrong)).toHaveLength(1);
});
