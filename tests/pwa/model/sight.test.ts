// The guide over the camera preview, and the tube proportions learnt from a marked photo.
import { line_of_marks } from "@/chemistry/axis";
import { EYE, guideOf, heldPixels, SPAN, scaled, sightOf, WIDTH, widened } from "@/model/sight";

const size = { width: 900, height: 1200 };
const filled = { water: 50, fuel: 100 };
const untaught = guideOf(size, filled, 10, null);

describe("the guide", () => {
  it("is an upright tube seen level, with the marks of a cylindrical tube", () => {
    const { marks, volumes, width } = untaught;
    expect(marks.bottom.y - marks.fuel.y).toBeCloseTo(SPAN * 1200);
    // Eye level is where the line of most fuels is.
    expect(marks.water.y + EYE * (marks.fuel.y - marks.water.y)).toBeCloseTo(600);
    expect(marks.line.y).toBeCloseTo(600);
    expect(marks.bottom.y).toBeLessThan(0.96 * 1200);
    for (const { x } of [marks.bottom, marks.water, marks.fuel]) expect(x).toBe(450);
    // 40 of 90 mL.
    expect((marks.bottom.y - marks.water.y) / (SPAN * 1200)).toBeCloseTo(40 / 90);
    expect(volumes).toEqual({ bottom: 10, water: 50, fuel: 100 });
    expect(width).toBeCloseTo(WIDTH.usual * SPAN * 1200);
  });

  it("gives the volume at the line", () => {
    const { marks } = untaught;
    const line = { x: 450, y: marks.fuel.y + (SPAN * 1200 * 20) / 90 };
    expect(line_of_marks({ ...marks, line }, 10, 50, 100)).toBeCloseTo(80);
  });

  it("has the same place on the photo as on the preview", () => {
    const half = scaled(untaught, 0.5);
    const small = guideOf({ width: 450, height: 600 }, filled, 10, null);
    expect(half.marks.water.y).toBeCloseTo(small.marks.water.y);
    expect(half.width).toBeCloseTo(small.width);
    expect(half.volumes).toEqual(small.volumes);
  });
});

describe("a tube learnt from a photo", () => {
  // Seen from a pinhole: 0 mL at distance 1, 100 mL at 1.3; the picture is rotated.
  const seen = (volume: number) => ({ x: 100 + (900 * volume) / 100 / (1 + 0.003 * volume), y: 300 });
  const marks = { bottom: seen(5), water: seen(50), fuel: seen(100), line: seen(80) };
  const sight = sightOf(marks, { bottom: 5, water: 50, fuel: 100 }, 0.2);

  it("has the proportions of the photo, whatever its place and size", () => {
    const guide = guideOf(size, filled, 10, sight);
    const of = (m: typeof marks, axis: "x" | "y") => (m.water[axis] - m.bottom[axis]) / (m.fuel[axis] - m.bottom[axis]);
    expect(of(guide.marks, "y")).toBeCloseTo(of(marks, "x"));
    expect(guide.volumes.bottom).toBe(5);
    expect(guide.width).toBeCloseTo(0.2 * SPAN * 1200);
    expect(sightOf(guide.marks, guide.volumes, 0.2)).toEqual({ ...sight, share: expect.closeTo(sight.share) });
  });

  it("works for other fillings too", () => {
    const { marks: other } = guideOf(size, { water: 30, fuel: 80 }, 10, sight);
    const share = (other.bottom.y - other.water.y) / (other.bottom.y - other.fuel.y);
    expect(share).toBeCloseTo((seen(30).x - seen(5).x) / (seen(80).x - seen(5).x));
  });

  it("is not used if its bottom mark is above the water", () => {
    const guide = guideOf(size, { water: 5, fuel: 15 }, 1, sight);
    expect(guide.volumes).toEqual({ bottom: 1, water: 5, fuel: 15 });
  });
});

test("the outline can be narrowed and widened within the range of real tubes", () => {
  expect(widened(widened(0.16, true), false)).toBeCloseTo(0.16);
  let width = 0.16;
  for (let taps = 0; taps < 50; taps++) width = widened(width, true);
  expect(width).toBe(WIDTH.most);
  for (let taps = 0; taps < 50; taps++) width = widened(width, false);
  expect(width).toBe(WIDTH.least);
});

test("the uncertainty of hand-held marks scales with the guide", () => {
  expect(heldPixels(untaught.marks)).toBeCloseTo(2 * heldPixels(scaled(untaught, 0.5).marks));
});
