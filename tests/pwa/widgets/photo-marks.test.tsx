// @vitest-environment happy-dom
import type { Marks } from "@/chemistry/axis";
import { marksAtFirst, PhotoMarks } from "@/widgets/photo-marks";
import { act, mount, unmount } from "../helpers/mount";

afterEach(unmount);

const PICTURE = { address: "blob:none", alt: "Tube", width: 400, height: 1000 };

function board() {
  let marks: Marks = marksAtFirst(PICTURE);
  const part = () => (
    <PhotoMarks
      picture={PICTURE}
      marks={marks}
      onMarks={(next) => {
        marks = next;
      }}
    />
  );
  const page = mount(part());
  const handle = (name: string) => page.root.querySelector(`.photo-handle-${name}`) as HTMLButtonElement;
  return {
    marks: () => marks,
    handle,
    key: (name: string, key: string, shiftKey = false) => {
      act(() => void handle(name).dispatchEvent(new KeyboardEvent("keydown", { key, shiftKey, bubbles: true })));
      page.again(part());
    },
    press: (name: string) => {
      act(() => page.button(name).click());
      page.again(part());
    },
  };
}

test("the crosses start on an upright tube in order", () => {
  const { bottom, line, water, fuel } = board().marks();
  expect(bottom.y).toBeGreaterThan(water.y);
  expect(water.y).toBeGreaterThan(line.y);
  expect(line.y).toBeGreaterThan(fuel.y);
  expect(new Set([bottom.x, water.x, fuel.x, line.x])).toEqual(new Set([200]));
});

test("arrow keys move one cross by a pixel, with Shift by ten, and no other", () => {
  const { marks, key } = board();
  const before = marks();
  key("line", "ArrowUp");
  expect(marks().line).toEqual({ x: 200, y: before.line.y - 1 });
  key("line", "ArrowRight", true);
  expect(marks().line).toEqual({ x: 210, y: before.line.y - 1 });
  expect(marks().water).toEqual(before.water);
});

test("buttons move the chosen cross", () => {
  const { marks, press } = board();
  const before = marks();
  press("Bottom mark: down");
  expect(marks().bottom).toEqual({ x: 200, y: before.bottom.y + 1 });
});

test("no cross can leave the picture", () => {
  const { marks, key } = board();
  for (let turn = 0; turn < 30; turn++) key("fuel", "ArrowUp", true);
  expect(marks().fuel.y).toBe(0);
});

test("a cross announces its name and position", () => {
  expect(board().handle("water").getAttribute("aria-label")).toBe("Water mark, 200 across, 600 down");
});

test("the width of the line is drawn as a band across the tube, and only when there is one", () => {
  const marks = marksAtFirst(PICTURE);
  const part = (band: number | null) => (
    <PhotoMarks picture={PICTURE} marks={marks} onMarks={() => undefined} band={band} />
  );
  const page = mount(part(null));
  const band = () => page.root.querySelector(".photo-band")?.getAttribute("d") ?? "";
  expect(band()).toBe("");
  page.again(part(6));
  const rows = [...band().matchAll(/-?\d+(?:\.\d+)? (-?\d+(?:\.\d+)?)/g)].map((found) => Number(found[1]));
  expect(rows).toHaveLength(4);
  expect(Math.max(...rows) - Math.min(...rows)).toBeCloseTo(12, 9);
  expect((Math.max(...rows) + Math.min(...rows)) / 2).toBeCloseTo(marks.line.y, 9);
});
