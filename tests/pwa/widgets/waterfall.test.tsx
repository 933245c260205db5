// @vitest-environment happy-dom
import { Waterfall } from "@/widgets/waterfall";
import { columnsOf } from "@/widgets/waterfall-columns";
import { mount, unmount } from "../helpers/mount";

afterEach(unmount);

const corrections = { asRead: 77.6, changes: [6.4, -0.5], content: 83.5, uncertainty: 1.9 };

it("leads from the reading to the content, each bar starting where the last one ended", () => {
  const columns = columnsOf(corrections);
  expect(columns.map(({ letter, kind }) => letter + kind)).toEqual(["alevel", "bup", "cdown", "dlevel"]);
  const [read, up, down, content] = columns as [never, never, never, never] as typeof columns;
  expect(up?.low).toBeCloseTo(read?.end ?? 0, 9);
  expect(down?.high).toBeCloseTo(up?.end ?? 0, 9);
  expect(content?.high).toBeCloseTo(down?.end ?? 0, 9);
});

it("draws all content points to one scale, including the uncertainty", () => {
  const [, up, , content] = columnsOf(corrections);
  const perPoint = ((up?.high ?? 0) - (up?.low ?? 0)) / 6.4;
  const [low, high] = content?.spread ?? [0, 0];
  expect((high - low) / (2 * 1.9)).toBeCloseTo(perPoint, 9);
});

it("keeps everything inside the chart, and a small correction small", () => {
  for (const change of [-30, -0.1, 0, 0.1, 30]) {
    const columns = columnsOf({ asRead: 60, changes: [change], content: 60 + change, uncertainty: 0.2 });
    for (const { low, high, spread } of columns) {
      expect(Math.min(low, ...(spread ?? []))).toBeGreaterThanOrEqual(0);
      expect(Math.max(high, ...(spread ?? []))).toBeLessThanOrEqual(84 + 1e-9);
    }
    if (Math.abs(change) < 1) expect((columns[1]?.high ?? 0) - (columns[1]?.low ?? 0)).toBeLessThan(3);
  }
});

it("describes its figures for screen readers", () => {
  const page = mount(<Waterfall name="Line as read: 77.6 %; shrinkage: +6.4" {...corrections} />);
  expect(page.root.querySelector("[role=img]")?.getAttribute("aria-label")).toContain("+6.4");
  expect(page.root.textContent).toContain("+6.4");
});
