// Monthly figures against the server's rule (a visit counts once) and robust figures of a published data set.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { SPECIFICATIONS } from "@/chemistry/meaning";
import { chosenOf, monthsOf, type RegionTest } from "@/model/region-months";
import { applyPage } from "@/store/cursor";
import { listRegionTests } from "@/store/regions";
import { pulledSource, pulledTest } from "../helpers/examples";

const DAY = 86_400_000;
const PUBLISHED = fileURLToPath(new URL("../../../fixtures/published/statistics.json", import.meta.url));

function test1(source: string, at: string, content: number, contributor = "a"): RegionTest {
  const sampled_at = Date.parse(at) / DAY;
  const visit = { sampled_at, content, own_uncertainty: 0.8, shared_uncertainty: 0.4, contributor };
  return { source, visit, expanded_uncertainty: 2 };
}

test("months are split in UTC, oldest first, and a visit counts once", () => {
  const months = monthsOf(
    [
      test1("one", "2026-03-01T00:30:00+02:00", 80),
      test1("one", "2026-02-10T10:00:00Z", 70),
      test1("one", "2026-02-10T10:10:00Z", 72),
      test1("two", "2026-02-10T10:10:00Z", 76, "b"),
      test1("two", "2026-03-02T10:00:00Z", 81),
    ],
    null,
  );
  expect(months.map((one) => one.month)).toEqual(["2026-02", "2026-03"]);
  // The visits of February have 71, 76 and 80: 1 March in Paris is the end of February in UTC.
  expect(months[0]).toMatchObject({ sources: 2, tests: 4, contributors: 2, share: null });
  expect(months[0]?.centre).toBeGreaterThan(74);
  expect(months[0]?.centre).toBeLessThan(77);
  expect(months[1]).toMatchObject({ sources: 1, tests: 1, contributors: 1, centre: 81, spread: null });
});

test("centre and spread are those of R's MASS for its data set chem with its gross error", () => {
  const { robust_mean } = JSON.parse(readFileSync(PUBLISHED, "utf8"));
  const chem: number[] = robust_mean.data;
  const tests = chem.map((content, k) => test1("one", new Date(Date.UTC(2026, 0, 1 + k)).toISOString(), content));
  const [january] = monthsOf(tests, null);
  const { mu, s } = robust_mean.huber_mad.value;
  expect(january?.centre).toBeCloseTo(mu, 5);
  expect(january?.spread).toBeCloseTo(s, 5);
});

test("only readings inside with their uncertainty count as inside", () => {
  const specification = { code: "x", name: "x", minimum: 70, maximum: 85 };
  const contents = [69, 71, 72, 78, 83, 84, 60];
  const tests = contents.map((content, k) => test1("one", `2026-02-0${k + 1}T10:00:00Z`, content));
  expect(monthsOf(tests, specification)[0]?.share).toEqual({ inside: 3, cannot_tell: 3 });
  expect(chosenOf(SPECIFICATIONS, null)).toBeNull();
  expect(chosenOf(SPECIFICATIONS, SPECIFICATIONS[0]?.code as string)).toBe(SPECIFICATIONS[0]);
});

test("the phone's tests of a region are counted tests from pumps, at the survivors of merges", async () => {
  const one = pulledSource(1);
  const other = pulledSource(2);
  const counted = pulledTest(3, one.id);
  const can = pulledTest(4, one.id, { sampled: "can" });
  const elsewhere = { ...pulledTest(5, one.id), region: "FR-15" };
  const moved = pulledTest(6, other.id);
  const merge = { ...other, sequence: 7, state: "merged" as const, record: null, into: one.id };
  await applyPage([one, other, counted, can, elsewhere, moved, merge], { server: "", cursor: "a.7" }, true);
  const tests = await listRegionTests("FR-63");
  expect(tests.map((test) => test.source)).toEqual([one.id, one.id]);
  expect(tests[0]).toMatchObject({ expanded_uncertainty: 1.9, visit: { content: 83 } });
});
