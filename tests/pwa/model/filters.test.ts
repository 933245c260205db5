import { filtersSet, NO_FILTERS, passes } from "@/model/filters";
import type { FiguresRow } from "@/rows/source";
import type { SourceFigures } from "@/rows/source-figures";
import { NOW } from "../helpers/examples";

const here = { latitude: 45, longitude: 2.5 };
/** Of latitude, on a sphere of the earth's mean radius. */
const KM_PER_DEGREE = 111.195;

/** km: how far to the north; null: its position is unknown. */
function row(figures: Partial<SourceFigures> | null, km: number | null = null): FiguresRow {
  const latitude = km === null ? null : here.latitude + km / KM_PER_DEGREE;
  const whole = figures && { evidence: 0, floor: 60, changes: [], ...figures };
  return { source: "a", name: "a", figures: whole, latitude, longitude: here.longitude } as unknown as FiguresRow;
}

const kept = (one: FiguresRow, filters: Partial<typeof NO_FILTERS>, minimum: number | null = 70) =>
  passes(one, { ...NO_FILTERS, ...filters }, { here, minimum, now: NOW });

test("without filters every source passes", () => {
  expect(kept(row(null), {})).toBe(true);
  expect(kept(row({}), {})).toBe(true);
  expect(filtersSet(NO_FILTERS)).toBe(0);
  expect(filtersSet({ ...NO_FILTERS, changed: true, within_km: 50 })).toBe(2);
});

test("the filter for untested sources", () => {
  expect(kept(row(null), { untested: true })).toBe(true);
  expect(kept(row({}), { untested: true })).toBe(false);
});

test("the filter for recent changes ignores old ones", () => {
  const at = (days: number) => new Date(NOW.getTime() - days * 86_400_000).toISOString();
  expect(kept(row({ changes: [{ at: at(100), direction: "up" }] }), { changed: true })).toBe(true);
  expect(kept(row({ changes: [{ at: at(130), direction: "up" }] }), { changed: true })).toBe(false);
  expect(kept(row(null), { changed: true })).toBe(false);
});

test("the evidence filter needs two marks of three", () => {
  expect(kept(row({ evidence: 2 }), { evidence: true })).toBe(true);
  expect(kept(row({ evidence: 1 }), { evidence: true })).toBe(false);
  expect(kept(row(null), { evidence: true })).toBe(false);
});

test("the minimum filter compares the floor with one's own minimum", () => {
  expect(kept(row({ floor: 70 }), { minimum: true })).toBe(true);
  expect(kept(row({ floor: 69.9 }), { minimum: true })).toBe(false);
  expect(kept(row({ floor: 69.9 }), { minimum: true }, null)).toBe(true);
  expect(kept(row(null), { minimum: true })).toBe(false);
});

test("the distance filter lets unknown distances pass", () => {
  expect(kept(row({}, 24.9), { within_km: 25 })).toBe(true);
  expect(kept(row({}, 25.1), { within_km: 25 })).toBe(false);
  expect(kept(row({}, null), { within_km: 25 })).toBe(true);
});
