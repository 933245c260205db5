// Drawn pictures: where their line is, and the colours along the tube, are known by how they were made.
import fc from "fast-check";
import type { Marks, Place } from "@/chemistry/axis";
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

/** A picture of what is seen in the middle of each pixel. */
function picture(colour: (place: Place) => Colour): Uint8ClampedArray {
  const pixels = new Uint8ClampedArray(4 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) pixels.set([...colour(at(x + 0.5, y + 0.5)), 255], 4 * (y * WIDTH + x));
  return pixels;
}

/** A tube with a bore of 40 pixels whose axis is that of the marks, colours by the share of the way to the fuel mark. */
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
const profile = (pixels: Uint8ClampedArray, marks: Marks) => axis_profile(pixels, WIDTH, HEIGHT, marks);

/** Marks on a tube that leans by so many pixels. */
const leaning = (lean: number) => marked(at(45 - lean, 170), at(45 - 0.2 * lean, 110), at(45 + (13 / 15) * lean, 30));
/** A tube whose layers part at a share of the way from the water mark to the fuel mark. */
const parted = (marks: Marks, share: number) => tube(marks, (along) => (along < share ? WATER : FUEL));

test("the line is suggested where it is, on the axis, however the tube leans", () => {
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
      // The border of a sharp line is no wider than two pixels to either side.
      expect(found?.half_width).toBeGreaterThan(0);
      expect(found?.half_width).toBeLessThan(2);
    }),
    { numRuns: 25 },
  );
});

// What a second implementation, in Python with numpy, gave for the same pictures.
test.each([
  [0.7, 0, 45.0, 54.05786759990597, 0.7015488843754099],
  [0.35, 12, 47.06616262206311, 82.08648361210557, 0.7528167704114586],
  [0.8, -9, 39.13114851698765, 46.09290430823039, 0.7713633777593214],
])("at %d of a tube that leans by %d pixels the line is where it always was", (share, lean, x, y, half_width) => {
  const found = look(parted(leaning(lean), share), leaning(lean));
  expect(found?.place.x).toBeCloseTo(x, 9);
  expect(found?.place.y).toBeCloseTo(y, 9);
  expect(found?.half_width).toBeCloseTo(half_width, 9);
});

test.each<[string, (share: number) => Colour]>([
  ["one colour", () => WATER],
  ["a milky layer", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : FUEL)],
])("nothing is suggested: %s", (_, filling) => {
  expect(look(tube(UPRIGHT, filling), UPRIGHT)).toBeNull();
});

test("an edge across the tube and beside it is behind it", () => {
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
  test("are those between the middles of pixels, from below the water mark to the fuel mark", () => {
    const { inside } = profile(
      picture(({ y }) => [2 * y, 2 * y, 2 * y]),
      UPRIGHT,
    );
    const middle = inside[3] as number[][];
    expect(middle).toHaveLength(SAMPLES);
    middle.forEach(([level], i) => {
      expect((level as number) / 2).toBeCloseTo(110 - (100 * (i - BELOW)) / PER_COLUMN, 9);
    });
  });

  test("are read in seven strips within the bore and two beside it", () => {
    const { inside, beside } = profile(
      picture(({ x }) => [2 * x, 2 * x, 2 * x]),
      UPRIGHT,
    );
    // To the right of an upright tube, in shares of the 100 pixels from the water to the fuel mark.
    const aside = (strips: readonly (readonly (readonly number[])[])[]) =>
      strips.map((strip) => ((strip[0]?.[0] as number) / 2 - 45) / 100);
    const apart = [-0.09, -0.06, -0.03, 0, 0.03, 0.06, 0.09];
    for (const [found, expected] of [
      [aside(inside), apart],
      [aside(beside), [-0.333, 0.333]],
    ] as const) {
      expect(found).toHaveLength(expected.length);
      expected.forEach((share, i) => {
        expect(found[i]).toBeCloseTo(share, 9);
      });
    }
  });

  test("are luminance (ITU-R BT.601), blueness and redness, which shade hardly changes", () => {
    const of = (colour: Colour) =>
      (profile(
        picture(() => colour),
        UPRIGHT,
      ).inside[3]?.[0] ?? []) as number[];
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

  test("leave out a scratch over two of the five lines of a strip", () => {
    const scratched = profile(
      picture(({ x }) => (x === 43.5 ? [255, 255, 255] : WATER)),
      UPRIGHT,
    );
    const clean = profile(
      picture(() => WATER),
      UPRIGHT,
    );
    expect(scratched.inside[3]?.[200]).toEqual(clean.inside[3]?.[200]);
  });

  test("go on beyond the picture as it ends", () => {
    const marks = marked(at(1, 179), at(1, 110), at(1, 1));
    const { beside, inside } = profile(
      picture(({ x }) => [x, x, x]),
      marks,
    );
    expect(beside[0]?.every(([level]) => level === beside[0]?.[0]?.[0])).toBe(true);
    expect(inside[0]?.[0]?.[0]).toBeCloseTo(beside[0]?.[0]?.[0] as number, 9);
    expect(beside[1]?.[0]?.[0]).toBeGreaterThan(30);
  });
});
