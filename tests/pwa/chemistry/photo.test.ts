// Synthetic pictures with a known line and known colours along the tube.
import fc from "fast-check";
import type { Marks, Place } from "@/chemistry/axis";
import type { Strip } from "@/chemistry/border";
import { BELOW, PER_COLUMN, SAMPLES } from "@/chemistry/edge";
import { axis_profile, suggest_line } from "@/chemistry/photo";
import { Unusable } from "@/errors";
import { noise } from "./noise";

type Colour = readonly [number, number, number];
const [WIDTH, HEIGHT] = [90, 180];
const WATER: Colour = [170, 190, 200];
const FUEL: Colour = [200, 150, 60];
const MILK: Colour = [235, 235, 235];
const WALL: Colour = [90, 100, 90];

const at = (x: number, y: number): Place => ({ x, y });
const marked = (bottom: Place, water: Place, fuel: Place): Marks => ({ bottom, water, fuel, line: water });
const UPRIGHT = marked(at(45, 170), at(45, 110), at(45, 10));

/** A picture made by sampling the middle of each pixel. */
function picture(colour: (place: Place) => Colour): Uint8ClampedArray {
  const pixels = new Uint8ClampedArray(4 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) pixels.set([...colour(at(x + 0.5, y + 0.5)), 255], 4 * (y * WIDTH + x));
  return pixels;
}

/** A tube with a 40 px bore along the marks' axis; colours by share of the way to the fuel mark. */
function tube(marks: Marks, filling: (share: number) => Colour): Uint8ClampedArray {
  const [x, y] = [marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y];
  const length = Math.hypot(x, y);
  const draw = noise(7);
  return picture((place) => {
    const [u, v] = [place.x - marks.water.x, place.y - marks.water.y];
    const colour = Math.abs(u * y - v * x) / length < 20 ? filling((u * x + v * y) / length ** 2) : WALL;
    return colour.map((level) => Math.round(level + 2 * draw())) as unknown as Colour;
  });
}

const look = (pixels: Uint8ClampedArray, marks: Marks) => suggest_line(pixels, WIDTH, HEIGHT, marks);
/** The luminance of a strip. */
const light = (strip: Strip | undefined) => Array.from(strip?.colours[0] ?? []);
const profile = (pixels: Uint8ClampedArray, marks: Marks) => axis_profile(pixels, WIDTH, HEIGHT, marks);

/** Marks on a tube that leans by this many pixels. */
const leaning = (lean: number) => marked(at(45 - lean, 170), at(45 - 0.2 * lean, 110), at(45 + (13 / 15) * lean, 30));
/** A tube with its line at a share of the way from the water mark to the fuel mark. */
const parted = (marks: Marks, share: number) => tube(marks, (along) => (along < share ? WATER : FUEL));

test("the suggested line is on the axis at any tilt of the tube", () => {
  const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(real(0.1, 0.85), real(-15, 15), (share, lean) => {
      const marks = leaning(lean);
      const found = look(parted(marks, share), marks);
      const [x, y] = [marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y];
      const place = at(marks.water.x + share * x, marks.water.y + share * y);
      const off = found && at(found.place.x - place.x, found.place.y - place.y);
      expect(off && Math.hypot(off.x, off.y)).toBeLessThan(1);
      expect(off && Math.abs(off.x * y - off.y * x) / Math.hypot(x, y)).toBeLessThan(1e-9);
      // In a column of at most 100 pixels a sharp line is certain to one pixel.
      expect(found?.half_width).toBeGreaterThan(0.5);
      expect(found?.half_width).toBeLessThan(1.5);
    }),
    { numRuns: 25 },
  );
});

test.each<[string, (share: number) => Colour]>([
  ["one colour", () => WATER],
  ["a milky layer", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : FUEL)],
])("nothing is suggested: %s", (_, filling) => {
  expect(look(tube(UPRIGHT, filling), UPRIGHT)).toBeNull();
});

test("an edge that continues beside the tube is behind it", () => {
  const behind = picture(({ y }) => (y < 60 ? FUEL : WATER));
  expect(look(behind, UPRIGHT)).toBeNull();
});

test.each([
  ["marks_close", at(45, 170), at(45, 162), at(45, 155)],
  ["marks_close", at(45, 170), at(45, 165), at(45, 10)],
  ["marks_close", at(45, 170), at(45, 15), at(45, 10)],
  ["marks_order", at(45, 170), at(45, 5), at(45, 10)],
  ["marks_order", at(45, 110), at(45, 170), at(45, 10)],
  ["mark_off_axis", at(45, 170), at(65, 110), at(45, 10)],
])("marks that fix nothing are refused: %s", (code, bottom, water, fuel) => {
  const pixels = parted(UPRIGHT, 0.7);
  const refused = expect.objectContaining({ problems: [expect.objectContaining({ code })] });
  expect(() => look(pixels, marked(bottom, water, fuel))).toThrow(refused);
  expect(() => look(pixels, marked(bottom, water, fuel))).toThrow(Unusable);
});

describe("the colours along the axis", () => {
  test("are interpolated between pixel centres, from below the water mark to the fuel mark", () => {
    const { inside } = profile(
      picture(({ y }) => [2 * y, 2 * y, 2 * y]),
      UPRIGHT,
    );
    const middle = light(inside[6]);
    expect(middle).toHaveLength(SAMPLES);
    middle.forEach((level, i) => {
      expect(level / 2).toBeCloseTo(110 - (100 * (i - BELOW)) / PER_COLUMN, 9);
    });
  });

  test("are read in thirteen strips within the bore and two beside it", () => {
    const { inside, beside } = profile(
      picture(({ x }) => [2 * x, 2 * x, 2 * x]),
      UPRIGHT,
    );
    // To the right of an upright tube, in shares of the 100 pixels from the water to the fuel mark.
    const apart = Array.from({ length: 13 }, (_, i) => 0.015 * (i - 6));
    for (const [found, expected] of [
      [inside, apart],
      [beside, [-0.275, 0.275]],
    ] as const) {
      expect(found).toHaveLength(expected.length);
      expected.forEach((share, i) => {
        expect(found[i]?.beside).toBeCloseTo(share, 9);
        expect(((light(found[i])[0] as number) / 2 - 45) / 100).toBeCloseTo(share, 9);
      });
    }
  });

  test("are luminance (ITU-R BT.601), blueness and redness, which shade hardly changes", () => {
    const of = (colour: Colour) =>
      profile(
        picture(() => colour),
        UPRIGHT,
      ).inside[6]?.colours.map((values) => values[0]) as number[];
    const luminance = 0.299 * 200 + 0.587 * 150 + 0.114 * 60;
    const relative = 128 / (luminance + 16);
    const [light, blue, red] = of([200, 150, 60]) as [number, number, number];
    expect(light).toBeCloseTo(luminance, 9);
    expect(blue).toBeCloseTo((60 - luminance) * relative, 9);
    expect(red).toBeCloseTo((200 - luminance) * relative, 9);
    const [, shaded_blue, shaded_red] = of([160, 120, 48]) as [number, number, number];
    expect(shaded_blue / blue).toBeCloseTo(1, 1);
    expect(shaded_red / red).toBeCloseTo(1, 1);
  });

  test("ignore a scratch on one of the three lines of a strip", () => {
    const scratched = profile(
      picture(({ x }) => (x === 42.5 ? [255, 255, 255] : WATER)),
      UPRIGHT,
    );
    const clean = profile(
      picture(() => WATER),
      UPRIGHT,
    );
    expect(light(scratched.inside[5])).toEqual(light(clean.inside[5]));
    expect(light(scratched.inside[4])).not.toEqual(light(clean.inside[4]));
  });

  test("continue past the edge with the last pixel", () => {
    const marks = marked(at(1, 179), at(1, 110), at(1, 1));
    const { beside, inside } = profile(
      picture(({ x }) => [x, x, x]),
      marks,
    );
    const [left, right] = [light(beside[0]), light(beside[1])];
    expect(left.every((level) => level === left[0])).toBe(true);
    expect(light(inside[0])[0]).toBeCloseTo(left[0] as number, 9);
    expect(right[0]).toBeGreaterThan(30);
  });
});
