// Heights of printed marks. Outside reference: a linear scale has mark E at E % of the way; if a scale corrected for
// shrinkage has 21.84, 54.73 and 86.51 %, a linear one has 20, 50 and 80 (`splitline content --water 50 --fuel 50
// --scale linear --fuel-water 0 --temperature 20 --percent …`).
import { checkOf, doubtOf, faultOf, type Heights, misfitsOf } from "@/model/heights";
import type { HeightCheck } from "@/rows/tube";
import { NOW, tubeRow } from "../helpers/examples";

const row = tubeRow({ scale: "unknown" });
const SHRUNK = { 20: 21.841990899703255, 50: 54.73160176189155, 80: 86.5124162620717 };

/** A tube with a fuel column of 150 mm starting at 40 mm, read to whole or half millimetres. */
function heights(percents: readonly [printed: number, share: number][], step = 0.5): Heights {
  const read = (share: number) => Math.round((40 + 1.5 * share) / step) * step;
  return { water: 40, fuel: 190, marks: percents.map(([percent, share]) => ({ percent, height: read(share) })) };
}

const even = heights([
  [20, 20],
  [50, 50],
  [80, 80],
]);
const allowing = heights([
  [SHRUNK[20], 20],
  [SHRUNK[50], 50],
  [SHRUNK[80], 80],
]);
const check = (entered: Heights) => checkOf(row, entered, NOW) as HeightCheck;

describe("the heights of a scale", () => {
  it("identify a linear scale, and say how far off the other kind is", () => {
    const found = check(even);
    expect(found.kind).toBe("linear");
    expect(misfitsOf(found).linear).toBeLessThan(0.3);
    // 20, 50 and 80 % are 1.8, 4.5 and 6.1 % lower on a corrected scale; of 150 mm, root mean square.
    expect(misfitsOf(found).corrected).toBeGreaterThan(5);
    expect(found).toMatchObject({ water_height: 40, fuel_height: 190, checked_at: NOW.toISOString() });
    expect(found.marks).toHaveLength(3);
  });

  it("identify a scale corrected for shrinkage", () => {
    expect(check(allowing).kind).toBe("corrected");
    expect(misfitsOf(check(allowing)).corrected).toBeLessThan(0.3);
  });

  it("do not depend on the ruler's zero", () => {
    const lower = {
      water: 0,
      fuel: 150,
      marks: even.marks.map((mark) => ({ ...mark, height: (mark.height ?? 0) - 40 })),
    };
    expect(check(lower)).toMatchObject({ kind: "linear", linear_misfit: check(even).linear_misfit });
  });

  it("cannot tell when the marks are low and both kinds fit", () => {
    const low = check(
      heights([
        [2, 2],
        [5, 5],
        [8, 8],
      ]),
    );
    expect([low.kind, doubtOf(low)]).toEqual(["cannot_tell", "alike"]);
  });

  it("cannot tell when neither kind fits", () => {
    const odd = check(
      heights([
        [20, 30],
        [50, 60],
        [80, 90],
      ]),
    );
    expect([odd.kind, doubtOf(odd)]).toEqual(["cannot_tell", "neither"]);
  });

  it("give nothing before three scale marks and both fill marks are entered", () => {
    const [first, second, third] = even.marks as [Heights["marks"][0], Heights["marks"][0], Heights["marks"][0]];
    expect(checkOf(row, { ...even, marks: [first, second] }, NOW)).toBeNull();
    expect(checkOf(row, { ...even, marks: [first, second, { ...third, height: null }] }, NOW)).toBeNull();
    expect(checkOf(row, { ...even, fuel: null }, NOW)).toBeNull();
  });
});

describe("impossible heights", () => {
  const mark = (percent: number, height: number) => ({ percent, height });
  it.each([
    ["the fuel mark under the water mark", { ...even, fuel: 39 }, "order"],
    ["a mark above the fuel", { ...even, marks: [mark(20, 70), mark(50, 115), mark(80, 191)] }, "outside"],
    ["a mark below the water", { ...even, marks: [mark(20, 39)] }, "outside"],
    ["a mark twice", { ...even, marks: [mark(20, 70), mark(20, 115)] }, "repeated"],
    ["more per cent lower down", { ...even, marks: [mark(50, 70), mark(20, 115)] }, "falling"],
    ["two marks at one height", { ...even, marks: [mark(20, 70), mark(50, 70)] }, "falling"],
  ])("%s", (_, entered, fault) => {
    expect(faultOf(entered)).toBe(fault);
    expect(checkOf(row, entered, NOW)).toBeNull();
  });

  it("are not reported for a half-filled form", () => {
    expect(faultOf({ water: null, fuel: null, marks: [{ percent: 20, height: null }] })).toBeNull();
    expect(faultOf(even)).toBeNull();
  });
});
