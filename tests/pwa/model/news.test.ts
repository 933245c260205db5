import { type Known, newsOf, seenStateOf } from "@/model/news";
import type { SourceFigures } from "@/rows/source-figures";
import type { SeenState } from "@/rows/star";

const NOW = new Date("2026-10-01T09:00:00Z");
const SINCE = "2026-09-03T09:00:00.000Z";
const ROSE = { at: "2026-09-10T12:00:00Z", direction: "up" };

/** Content now 74 to 77 %, 9 of 10 next fills at 72 to 78 %, 99 of 100 at 70 to 80 %. */
function figures(change: Partial<SourceFigures> = {}): SourceFigures {
  const known = { typical_interval: [74, 77], next_fill: [72, 78], next_fill_quantiles: [70, 72, 75, 78, 80] };
  const last_sampled_at = "2026-09-28T12:00:00.000Z";
  return { ...known, evidence: 1, changes: [], last_sampled_at, ...change } as unknown as SourceFigures;
}

function known(change: Partial<Known> = {}): Known {
  return { tests: 4, figures: figures(), fill: null, ...change };
}

function seen(change: Partial<SeenState> = {}): SeenState {
  return { at: SINCE, tests: 4, change: null, level: [74.5, 76], ...change };
}

const fill = (content: number, sampled_at = "2026-08-12T10:00:00+02:00") => ({
  sampled_at,
  content,
  expanded_uncertainty: 1.5,
});
const whats = (one: Known, before: SeenState | null) => newsOf(one, before, NOW).map(({ what }) => what);

describe("since the last look", () => {
  it("nothing is news if nothing changed or nobody has looked before", () => {
    expect(newsOf(known(), seen(), NOW)).toEqual([]);
    expect(newsOf(known({ figures: figures({ changes: [ROSE] }) }), null, NOW)).toEqual([]);
    expect(newsOf(known({ figures: null }), seen(), NOW)).toEqual([]);
  });

  it("other people's tests are counted, and fewer than before count as none", () => {
    expect(newsOf(known({ tests: 6 }), seen(), NOW)).toEqual([{ what: "tests", since: SINCE, tests: 2 }]);
    expect(newsOf(known({ tests: 3 }), seen(), NOW)).toEqual([]);
    expect(newsOf(known({ tests: 5, figures: null }), seen(), NOW)).toHaveLength(1);
  });

  it("a change of level is news once, and not when it is old", () => {
    const rose = known({ figures: figures({ changes: [ROSE] }) });
    expect(newsOf(rose, seen(), NOW)).toEqual([{ what: "change", ...ROSE }]);
    expect(newsOf(rose, seen({ change: "up" }), NOW)).toEqual([]);
    expect(whats(rose, seen({ change: "down" }))).toEqual(["change"]);
    expect(newsOf(rose, seen(), new Date("2027-03-01"))).toEqual([]);
  });

  it("a different content is news only if the intervals do not overlap", () => {
    expect(newsOf(known(), seen({ level: [77, 80] }), NOW)).toEqual([]);
    const fell = newsOf(known(), seen({ level: [77.1, 80] }), NOW);
    expect(fell).toEqual([{ what: "level", direction: "down", since: SINCE, before: [77.1, 80], now: [74, 77] }]);
    expect(newsOf(known(), seen({ level: [70, 73.9] }), NOW)).toMatchObject([{ what: "level", direction: "up" }]);
    expect(newsOf(known(), seen({ level: [70, 74] }), NOW)).toEqual([]);
    expect(newsOf(known(), seen({ level: null }), NOW)).toEqual([]);
    expect(newsOf(known({ figures: figures({ heaviest: 0.01 }) }), seen({ level: [80, 84] }), NOW)).toEqual([]);
  });
});

describe("since one's own last fill", () => {
  it("a change is news if that fill would be odd now", () => {
    const told = newsOf(known({ fill: fill(84) }), null, NOW);
    expect(told).toEqual([{ what: "fill", direction: "down", fill: fill(84), next: [72, 78] }]);
    expect(newsOf(known({ fill: fill(66) }), null, NOW)).toMatchObject([{ what: "fill", direction: "up" }]);
    // 79 - 1.5 is 77.5, within the next fill's interval.
    expect(newsOf(known({ fill: fill(79) }), null, NOW)).toEqual([]);
    expect(newsOf(known({ fill: fill(84), figures: figures({ evidence: 0 }) }), null, NOW)).toEqual([]);
  });

  it("a change is news if somebody sampled on a later day", () => {
    expect(newsOf(known({ fill: fill(84, "2026-09-28T07:00:00Z") }), null, NOW)).toEqual([]);
    expect(newsOf(known({ fill: fill(84, "2026-09-27T23:00:00Z") }), null, NOW)).toHaveLength(1);
  });

  it("the change since the last look is then left out", () => {
    expect(whats(known({ fill: fill(84) }), seen({ level: [79, 81] }))).toEqual(["fill"]);
  });
});

test("a look records the source's state and remembers tests that are fetched again", () => {
  const rose = known({ tests: 2, figures: figures({ changes: [ROSE] }) });
  expect(seenStateOf(rose, seen(), NOW)).toEqual({ at: NOW.toISOString(), tests: 4, change: "up", level: [74, 77] });
  expect(seenStateOf({ tests: 5, figures: null, fill: null }, null, NOW)).toMatchObject({
    tests: 5,
    change: null,
    level: null,
  });
});
