import { computeHere } from "@/compute";
import { baselineOf, freshChange, isSeasonOpen } from "@/model/level";
import type { SourceFigures } from "@/rows/source-figures";
import { applyPage } from "@/store/cursor";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { readSource } from "@/store/sources";
import { NOW, pulledSource, pulledTest } from "../helpers/examples";

const DAY = 86_400_000;
/** 4 points below the mean in the middle of January, 4 above in the middle of July. */
const season = {
  deviations: Array.from({ length: 24 }, (_, k) => -4 * Math.cos((Math.PI * (k - 0.5)) / 12)),
  covariance: [],
};
const at = (text: string) => Date.parse(text);

function figures(change: Partial<SourceFigures>): SourceFigures {
  return { typical: 76, changes: [], ...change } as SourceFigures;
}

test("the line ends at the present content and follows the season before it", () => {
  const now = at("2026-01-16T00:00:00Z");
  const line = baselineOf(figures({}), season, now, [at("2025-01-16T00:00:00Z"), now]);
  expect(line.at(-1)).toEqual({ at: now, value: expect.closeTo(76, 6) });
  const summer = line.find((point) => point.at >= at("2025-07-14T00:00:00Z"));
  // Mid-January is 8 points below mid-July.
  expect(summer?.value).toBeCloseTo(84, 0);
  expect(Math.max(...line.slice(1).map((point, k) => point.at - (line[k]?.at as number)))).toBeLessThanOrEqual(7 * DAY);
});

test("the line starts where the level starts, and is closed off if nothing comes before", () => {
  const now = at("2026-03-12T00:00:00Z");
  const since = "2026-02-01T00:00:00.000Z";
  const line = baselineOf(figures({ level_since: since }), season, now, [at("2025-01-01T00:00:00Z"), now]);
  expect(line[0]?.at).toBe(at(since));
  expect(baselineOf(figures({}), season, now, [now, now]).map((point) => point.value)).toEqual([expect.closeTo(76, 6)]);
});

test("a change is news for 120 days", () => {
  const changes = [
    { at: "2025-02-01T00:00:00Z", direction: "down" },
    { at: "2026-01-10T00:00:00Z", direction: "up" },
  ];
  expect(freshChange({ changes }, NOW)?.direction).toBe("up");
  expect(freshChange({ changes: changes.slice(0, 1) }, NOW)).toBeNull();
  expect(freshChange({ changes }, new Date("2026-05-11T00:00:00Z"))).toBeNull();
  expect(freshChange({ changes: [] }, NOW)).toBeNull();
});

/**
 * Fortnightly tests by two people: one source has 80 % at first and 72 % from a given test on; two are constant, since
 * otherwise the change might be the season.
 */
async function arrive(fall: number): Promise<void> {
  const sources = [1, 2, 3].map((n) => pulledSource(n, { name: `Source ${n}` }));
  const tests = sources.flatMap((source, n) =>
    Array.from({ length: 24 }, (_, k) => {
      const noise = [0.3, -0.6, 0.2, 0.7, -0.5][(k + n) % 5] as number;
      const sampled_at = new Date(NOW.getTime() - (24 - k) * 14 * DAY).toISOString();
      const content = (k < fall || n > 0 ? 80 : 72) + noise;
      const change = pulledTest(100 * (n + 1) + k, source.id, { sampled_at, content });
      return { ...change, contributor: (k + n) % 2 === 0 ? "aaaaaaaaaaaaaaaa" : "bbbbbbbbbbbbbbbb" };
    }),
  );
  await applyPage([...sources, ...tests], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW, computeHere);
}

const first = async () => (await listFigures()).find((row) => row.name === "Source 1");

test("the level is valid from the first visit after its last change", async () => {
  await arrive(12);
  const row = await first();
  expect(row?.figures?.changes).toHaveLength(1);
  expect(row?.figures?.level_since).toBe(row?.figures?.changes[0]?.at);
  expect(row?.figures?.typical).toBeCloseTo(72, 0);
});

test("without a change the level is valid from the first visit", async () => {
  await arrive(24);
  const row = await first();
  expect(row?.figures?.level_since).toBe("2025-04-10T12:00:00.000Z");
  // A season needs ten tests in a region.
  expect((await readSource(row?.source as string))?.season?.deviations).toHaveLength(24);
});

test("a region with few tests has no season yet", async () => {
  const source = pulledSource(1);
  await applyPage([source, pulledTest(2, source.id)], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW, computeHere);
  expect((await readSource(source.id))?.season).toBeNull();
});

test("the season is uncertain when it makes up a good part of the level's interval", () => {
  const typical_interval = [74, 78] as const;
  expect(isSeasonOpen({ typical_interval, season_uncertainty: 1.1 })).toBe(true);
  expect(isSeasonOpen({ typical_interval, season_uncertainty: 0.9 })).toBe(false);
  expect(isSeasonOpen({ typical_interval })).toBe(false);
});

test("a source's season is uncertain half a year after its few tests, and less so once tested again", async () => {
  const source = pulledSource(1);
  const tests = Array.from({ length: 8 }, (_, k) => {
    const sampled_at = new Date(NOW.getTime() - (150 + 7 * k) * DAY).toISOString();
    return pulledTest(2 + k, source.id, { sampled_at });
  });
  await applyPage([source, ...tests], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW, computeHere);
  const before = (await listFigures())[0]?.figures as SourceFigures;
  expect(isSeasonOpen(before)).toBe(true);
  const sampled_at = NOW.toISOString();
  const more = pulledTest(20, source.id, { sampled_at });
  await applyPage([source, ...tests, more], { server: "", cursor: "a.2" }, true);
  await refreshFigures(NOW, computeHere);
  const after = (await listFigures())[0]?.figures as SourceFigures;
  expect(after.season_uncertainty).toBeLessThan(before.season_uncertainty as number);
});
