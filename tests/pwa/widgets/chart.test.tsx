// @vitest-environment happy-dom
import { Chart } from "@/widgets/chart";
import type { ChartPoint } from "@/widgets/chart-scale";
import { FIELD, scaleOf } from "@/widgets/chart-scale";
import { mount, unmount } from "../helpers/mount";

afterEach(unmount);

const DAY = 86_400_000;
/** How wide `30 sept.` and `1 sept.` are in DejaVu Sans at 13 px, as FreeType measures them. */
const [DATE, FIRST] = [53, 45];
const START = Date.parse("2025-11-03T10:00:00Z");

const series = (days: readonly number[]): ChartPoint[] =>
  days.map((day, index) => ({ at: START + day * DAY, value: 70 + 3 * index, spread: 1.5 }));

describe("the scale of a chart", () => {
  it("keeps every bar, line and band inside the plot", () => {
    const points = series([0, 40, 300]);
    const band = { from: START + 310 * DAY, low: 60, high: 90 };
    const { x, y, right, bottom } = scaleOf({ points, line: points, band }, 328);
    for (const { at, value } of points) {
      expect(x(at)).toBeGreaterThan(FIELD.left);
      expect(x(at)).toBeLessThan(right);
      expect(y(value - 1.5)).toBeLessThan(bottom);
      expect(y(value + 1.5)).toBeGreaterThan(FIELD.top);
    }
    expect(y(band.low)).toBeLessThan(bottom);
    expect(y(band.high)).toBeGreaterThan(FIELD.top);
    expect(x(band.from)).toBeLessThan(right);
  });

  it.each([1, 30, 120, 500, 3000])("has some ticks over %i days, at whole dates and without overlap", (days) => {
    for (const letters of [1, 2]) {
      for (const width of [288, 328, 736]) {
        const shown = { points: series([0, days]), line: [], band: null };
        const { x, moments, values, left, right } = scaleOf(shown, width, letters);
        expect(moments.length).toBeGreaterThan(0);
        expect(values.length).toBeGreaterThan(1);
        const gaps = moments.slice(1).map((at, index) => x(at) - x(moments[index] ?? 0));
        const widest = moments.every((at) => new Date(at).getDate() === 1) ? FIRST : DATE;
        expect(Math.min(...gaps)).toBeGreaterThanOrEqual(letters * widest);
        expect(moments.every((at) => x(at) >= left && x(at) <= right)).toBe(true);
        const edges = moments.flatMap((at) => [x(at) - (letters * widest) / 2, x(at) + (letters * widest) / 2]);
        expect(Math.min(...edges)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...edges)).toBeLessThanOrEqual(width);
      }
    }
  });

  it("makes room for large text beside and below the plot without shrinking its height", () => {
    const shown = { points: series([0, 40]), line: [], band: null };
    const [usual, large] = [scaleOf(shown, 328), scaleOf(shown, 328, 2)];
    expect(large.left).toBe(2 * usual.left);
    expect(large.height - large.bottom).toBe(2 * (usual.height - usual.bottom));
    expect(large.bottom).toBe(usual.bottom);
    expect(large.values.length).toBeLessThan(usual.values.length);
  });

  it("puts a single point in the middle", () => {
    const { x, right } = scaleOf({ points: series([0]), line: [], band: null }, 328);
    expect(x(START)).toBeCloseTo((FIELD.left + right) / 2, 6);
  });
});

it("draws each point with its bar and describes the chart in words", () => {
  const page = mount(<Chart name="Chart of 3 tests" unit="%" points={series([0, 40, 300])} />);
  expect(page.root.querySelector("svg")?.getAttribute("aria-label")).toBe("Chart of 3 tests");
  expect(page.root.querySelectorAll("circle")).toHaveLength(3);
  expect(page.root.querySelectorAll(".chart-point path")).toHaveLength(3);
});

it("draws nothing without points", () => {
  expect(mount(<Chart name="" unit="%" points={[]} />).root.querySelector("svg")).toBeNull();
});
