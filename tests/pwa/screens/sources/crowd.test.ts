// Labels on the map never overlap anything else that is shown.
import * as fc from "fast-check";
import { type Box, visibleLabels } from "@/screens/sources/crowd";

const box = fc
  .record({
    left: fc.integer({ min: 0, max: 300 }),
    top: fc.integer({ min: 0, max: 300 }),
    wide: fc.integer({ min: 1, max: 90 }),
    high: fc.integer({ min: 1, max: 40 }),
  })
  .map(({ left, top, wide, high }): Box => ({ left, top, right: left + wide, bottom: top + high }));

function isOver(a: Box, b: Box): boolean {
  return Math.max(a.left, b.left) < Math.min(a.right, b.right) && Math.max(a.top, b.top) < Math.min(a.bottom, b.bottom);
}

test("labels overlap neither each other nor marks, and only those that would are hidden", () => {
  fc.assert(
    fc.property(fc.array(box, { maxLength: 20 }), fc.array(box, { maxLength: 10 }), (writings, marks) => {
      const free = visibleLabels(writings, marks);
      const shown = writings.filter((_, index) => free[index]);
      writings.forEach((one, index) => {
        const before = writings.slice(0, index).filter((_, earlier) => free[earlier]);
        expect(free[index]).toBe(![...before, ...marks].some((other) => isOver(one, other)));
      });
      for (const [at, one] of shown.entries()) {
        for (const other of shown.slice(at + 1)) expect(isOver(one, other)).toBe(false);
      }
    }),
  );
});

test("earlier labels have priority, and labels that only touch both fit", () => {
  const one = { left: 0, right: 10, top: 0, bottom: 10 };
  expect(visibleLabels([one, one, { ...one, left: 10, right: 20 }], [])).toEqual([true, false, true]);
  expect(visibleLabels([one], [{ ...one, left: 5, right: 6 }])).toEqual([false]);
});
