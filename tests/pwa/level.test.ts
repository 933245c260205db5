import { baselineOf, freshChange } from "@/level";
import { applyPage } from "@/store/cursor";
import { listFigures, refreshFigures } from "@/store/figures";
import type { SourceFigures } from "@/store/schema";
import { readSource } from "@/store/sources";
import { NOW, pulledSource, pulledTest } from "./invented";

const DAY = 86_400_000;
const months = [-4, -3.5, -2, 0, 2, 3.5, 4, 3.5, 2, 0, -2, -3.5];
const at = (text: string) => Date.parse(text);

function figures(change: Partial<SourceFigures>): SourceFigures {
  return { typical: 76, changes: [], ...change } as SourceFigures;
}

test("the line ends at the present content and follows the months before it", () => {
  const now = at("2026-01-16T00:00:00Z");
  const line = baselineOf(figures({}), months, now, [at("2025-01-16T00:00:00Z"), now]);
  expect(line.at(-1)).toEqual({ at: now, value: expect.closeTo(76, 6) });
  const summer = line.find((point) => point.at >= at("2025-07-14T00:00:00Z"));
  // The middle of January lies 8 points below the middle of July.
  expect(summer?.value).toBeCloseTo(84, 0);
  expect(Math.max(...line.slice(1).map((point, k) => point.at - (line[k]?.at as number)))).toBeLessThanOrEqual(7 * DAY);
});

test("the line begins where the level holds, and has its end where there is nothing before it", () => {
  const now = at("2026-03-12T00:00:00Z");
  const since = "2026-02-01T00:00:00.000Z";
  const line = baselineOf(figures({ level_since: since }), months, now, [at("2025-01-01T00:00:00Z"), now]);
  expect(line[0]?.at).toBe(at(since));
  expect(baselineOf(figures({}), months, now, [now, now]).map((point) => point.value)).toEqual([expect.closeTo(76, 6)]);
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

/** Weekly tests of one source by two people: 80 % at first, 72 % from the given test on. */
async function arrive(fall: number): Promise<void> {
  const source = pulledSource(1);
  const tests = Array.from({ length: 24 }, (_, k) => {
    const noise = [0.3, -0.6, 0.2, 0.7, -0.5][k % 5] as number;
    const sampled_at = new Date(NOW.getTime() - (24 - k) * 7 * DAY).toISOString();
    const change = pulledTest(10 + k, source.id, { sampled_at, content: (k < fall ? 80 : 72) + noise });
    return { ...change, contributor: k % 2 === 0 ? "aaaaaaaaaaaaaaaa" : "bbbbbbbbbbbbbbbb" };
  });
  await applyPage([source, ...tests], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW);
}

test("the level holds from the first visit after its last change", async () => {
  await arrive(12);
  const [row] = await listFigures();
  expect(row?.figures?.changes).toHaveLength(1);
  expect(row?.figures?.level_since).toBe(row?.figures?.changes[0]?.at);
  expect(row?.figures?.typical).toBeCloseTo(72, 0);
});

test("without a change the level holds from the first visit", async () => {
  await arrive(24);
  const [row] = await listFigures();
  expect(row?.figures?.level_since).toBe(new Date(NOW.getTime() - 24 * 7 * DAY).toISOString());
  // Ten tests and more in a region teach a season.
  expect((await readSource(row?.source as string))?.months).toHaveLength(12);
});

test("a region with few tests has no season yet", async () => {
  const source = pulledSource(1);
  await applyPage([source, pulledTest(2, source.id)], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW);
  expect((await readSource(source.id))?.months).toBeNull();
});
