// @vitest-environment happy-dom
import { LinePicker, marksBetween } from "@/widgets/line-picker";
import { mount, unmount } from "../helpers/mount";

afterEach(unmount);

describe("the tube along which the line is dragged", () => {
  it("has numbers at round graduations, both ends included", () => {
    const marks = marksBetween(50, 100, 139);
    expect(marks.filter((mark) => mark.major).map((mark) => mark.at)).toEqual([50, 60, 70, 80, 90, 100]);
    expect(marks.every((mark) => Number.isInteger(mark.at))).toBe(true);
  });

  it("keeps its graduations apart on any scale", () => {
    for (const [low, high] of [
      [0, 100],
      [5, 10],
      [500, 1000],
      [47.5, 98.5],
    ] as const) {
      const marks = marksBetween(low, high, 139);
      const apart = (139 / (high - low)) * ((marks[1]?.at ?? high) - (marks[0]?.at ?? low));
      expect(apart).toBeGreaterThanOrEqual(3);
      expect(marks.filter((mark) => mark.major).length).toBeGreaterThan(1);
      expect(marks.filter((mark) => mark.major).length).toBeLessThanOrEqual(8);
    }
  });

  it("selects the graduation under the finger", () => {
    const given: number[] = [];
    const { root } = mount(
      <LinePicker low={50} high={100} step={1} below={0.5} value={null} onValue={(value) => given.push(value)} />,
    );
    const svg = root.querySelector("svg") as SVGSVGElement;
    svg.setPointerCapture = () => {};
    svg.getBoundingClientRect = () => ({ top: 100, height: 304 }) as DOMRect;
    for (const clientY of [100, 112, 404, 184.5]) {
      svg.dispatchEvent(Object.assign(new Event("pointerdown"), { clientY, pointerId: 1 }));
    }
    expect(given).toEqual([100, 100, 50, 75]);
  });
});
