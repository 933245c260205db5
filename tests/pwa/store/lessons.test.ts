import type { Change } from "@/records";
import { applyPage } from "@/store/cursor";
import { listFigures, refreshFigures } from "@/store/figures";
import { comparedToOthers, offsetOf } from "@/store/lessons";
import { readFact, writeFact } from "@/store/settings";
import { recordOf } from "@/store/tube-row";
import { NOW, pulledSource, pulledTest, tubeRow } from "../invented";

const DAY = 86_400_000;
const CURSOR = { server: "https://here.example", cursor: "a.1" };

/** A winter blend that is 4 points weaker, told from the day. */
function season(day: number): number {
  return 4 * Math.cos((2 * Math.PI * (day - 196)) / 365.2425);
}

const PEOPLE = ["aaaaaaaaaaaaaaaa", "bbbbbbbbbbbbbbbb", "cccccccccccccccc"] as const;
const TUBES = PEOPLE.map(() => recordOf(tubeRow()));

/** Fortnightly tests of one source over 14 months by three people in turn; the second one's tube is off. */
function tests(first: number, source: string, level: (day: number) => number, off = 0): Change[] {
  return Array.from({ length: 30 }, (_, k) => {
    const at = new Date(NOW.getTime() - (29 - k) * 14 * DAY - DAY);
    const day = (at.getTime() / DAY) % 365.2425;
    const noise = [0.4, -0.7, 0.1, 0.8, -0.5][k % 5] as number;
    const who = k % 3;
    const content = level(k) + season(day) + noise + (who === 1 ? off : 0);
    const tube = TUBES[who] as (typeof TUBES)[number];
    const change = pulledTest(first + k, source, { content, sampled_at: at.toISOString(), tube });
    return { ...change, contributor: PEOPLE[who] as string };
  });
}

async function figuresOf(name: string) {
  return (await listFigures()).find((row) => row.name === name)?.figures;
}

test("the season of a region is learned and is not unsteadiness", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 74 + n)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW);
  const months = (await readFact("lessons"))?.["FR-63"]?.lessons.months as readonly number[];
  expect(months[0]).toBeLessThan(-2.5);
  expect(months[6]).toBeGreaterThan(2.5);
  expect((await figuresOf("Source 1"))?.tau).toBeLessThan(1);
  expect((await listFigures()).every((row) => row.stale === 0)).toBe(true);
});

test("another supplier is dated, and what came since counts", async () => {
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
  await refreshFigures(NOW);
  const found = await figuresOf("Moved");
  expect(found?.changes.map((change) => change.direction)).toEqual(["down"]);
  const weeks = (NOW.getTime() - Date.parse(found?.changes[0]?.at as string)) / (7 * DAY);
  expect(weeks).toBeGreaterThan(18);
  expect(weeks).toBeLessThan(30);
  expect((await figuresOf("Steady"))?.changes).toEqual([]);
});

test("a tube that reads low where others test is known by how much", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 75, -6)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW);
  const [sound, low] = await Promise.all(PEOPLE.map((who, n) => offsetOf(who, TUBES[n]?.id as string)));
  expect(low?.offset).toBeLessThan(-4);
  expect(low?.sources).toBe(3);
  expect(Math.abs(sound?.offset as number)).toBeLessThan(1);
  expect(await offsetOf("dddddddddddddddd", TUBES[0]?.id as string)).toBeNull();
  // Its readings count with what they are off as added uncertainty, so that they move little.
  expect(Math.abs(((await figuresOf("Source 1"))?.typical as number) - 75 - season(NOW.getTime() / DAY))).toBeLessThan(
    1.5,
  );
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[1] });
  expect(await comparedToOthers(TUBES[1]?.id as string)).toMatchObject({ verdict: "low", sources: 3 });
  await writeFact("identity", { secret: "0".repeat(64), contributor: PEOPLE[0] });
  expect(await comparedToOthers(TUBES[0]?.id as string)).toMatchObject({ verdict: "agrees" });
  expect(await comparedToOthers("a tube that nobody else has")).toBeNull();
});

test("the server's figure stands where it is newer than the phone's own", async () => {
  const places = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const changes = places.flatMap((place, n) => [place, ...tests(100 * (n + 1), place.id, () => 75, -6)]);
  await applyPage(changes, CURSOR, true);
  await refreshFigures(NOW);
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
  // One source is one other tube: not told.
  await theirs(1, 1);
  expect(await comparedToOthers(tube)).toMatchObject({ by: "phone" });
});
