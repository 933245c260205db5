// Synthetic pictures with a known line and known colours along the tube.
import type { Marks, Place } from "@/chemistry/axis";
import { BELOW, PER_COLUMN } from "@/chemistry/edge";
import { SAMPLES, STRIPS } from "@/chemistry/network";
import { strips_of, suggest_line } from "@/chemistry/photo";
import { Unusable } from "@/errors";
import { noise } from "./noise";

type Colour = readonly [number, number, number];
const [WIDTH, HEIGHT] = [90, 180];
/** Pixels to a unit of length where a line is searched. */
const FINE = 4;
const WATER: Colour = [170, 190, 200];
const FUEL: Colour = [200, 150, 60];
const RIM: Colour = [60, 60, 60];
const MILK: Colour = [235, 235, 235];
const BEHIND: Colour = [120, 126, 122];
const GLASS: Colour = [84, 88, 86];
const AIR: Colour = [150, 155, 152];

const at = (x: number, y: number): Place => ({ x, y });
const marked = (bottom: Place, water: Place, fuel: Place): Marks => ({ bottom, water, fuel, line: water });
const UPRIGHT = marked(at(45, 170), at(45, 110), at(45, 10));

/** A picture made by sampling the middle of each pixel, this many pixels to a unit of length. */
function picture(colour: (place: Place) => Colour, fine = 1): Uint8ClampedArray {
  const [width, height] = [fine * WIDTH, fine * HEIGHT];
  const pixels = new Uint8ClampedArray(4 * width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      pixels.set([...colour(at((x + 0.5) / fine, (y + 0.5) / fine)), 255], 4 * (y * width + x));
  return pixels;
}

/** A tube with a bore of 24 along the marks' axis, and air near its top; colours by share of the way to the fuel mark. */
function tube(marks: Marks, filling: (share: number) => Colour): Uint8ClampedArray {
  const [x, y] = [marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y];
  const length = Math.hypot(x, y);
  const draw = noise(7);
  return picture((place) => {
    const [u, v] = [place.x - marks.water.x, place.y - marks.water.y];
    const [aside, share] = [Math.abs(u * y - v * x) / length, (u * x + v * y) / length ** 2];
    const inside = share < 0.96 ? filling(share) : AIR;
    const colour = aside < 12 ? inside : aside < 14 ? GLASS : BEHIND;
    return colour.map((level) => Math.round(level + 2 * draw())) as unknown as Colour;
  }, FINE);
}

/** The line in a picture of `tube`, in units of length. */
const look = (pixels: Uint8ClampedArray, marks: Marks) => {
  const finer = ({ x, y }: Place) => at(FINE * x, FINE * y);
  const { bottom, water, fuel } = marks;
  const found = suggest_line(pixels, FINE * WIDTH, FINE * HEIGHT, marked(finer(bottom), finer(water), finer(fuel)));
  return found && { place: at(found.place.x / FINE, found.place.y / FINE), half_width: found.half_width / FINE };
};
const read = (pixels: Uint8ClampedArray, marks: Marks) => strips_of(pixels, WIDTH, HEIGHT, marks);
/** A colour of a strip (0: the axis, positive: to the right of an upright tube), sample by sample. */
const along = (strips: Float32Array, strip: number, colour = 0) => {
  const start = (colour * STRIPS + (STRIPS >> 1) + strip) * SAMPLES;
  return Array.from(strips.subarray(start, start + SAMPLES));
};

/** Marks on a tube that leans by this many pixels. */
const leaning = (lean: number) => marked(at(45 - lean, 170), at(45 - 0.2 * lean, 110), at(45 + (13 / 15) * lean, 30));
/** A tube with its line at a share of the way from the water mark to the fuel mark, dark where it meets the glass. */
const parted = (marks: Marks, share: number) =>
  tube(marks, (along) => (Math.abs(along - share) < 0.004 ? RIM : along < share ? WATER : FUEL));

test.each([-15, -8, 0, 8, 15])("the suggested line is on the axis of a tube that leans by %s", (lean) => {
  const marks = leaning(lean);
  const [x, y] = [marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y];
  for (const share of [0.5, 0.6, 0.7, 0.8, 0.9]) {
    const found = look(parted(marks, share), marks);
    const place = at(marks.water.x + share * x, marks.water.y + share * y);
    const off = found && at(found.place.x - place.x, found.place.y - place.y);
    expect(off && Math.hypot(off.x, off.y)).toBeLessThan(1);
    expect(off && Math.abs(off.x * y - off.y * x) / Math.hypot(x, y)).toBeLessThan(1e-9);
    // In a column of 80 to 100 a sharp line is certain to one or two.
    expect(found?.half_width).toBeGreaterThan(0.5);
    expect(found?.half_width).toBeLessThan(2);
  }
});

test.each<[string, (share: number) => Colour]>([
  ["one colour", () => WATER],
  ["a milky layer", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : FUEL)],
])("nothing is suggested: %s", (_, filling) => {
  expect(look(tube(UPRIGHT, filling), UPRIGHT)).toBeNull();
});

test("an edge that continues beside the tube is behind it", () => {
  const behind = picture(({ y }) => (y < 60 ? FUEL : WATER), FINE);
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
  const search = () => suggest_line(pixels, WIDTH, HEIGHT, marked(bottom, water, fuel));
  expect(search).toThrow(refused);
  expect(search).toThrow(Unusable);
});

describe("the colours along the axis", () => {
  test("are interpolated between pixel centres, from below the water mark to the fuel mark", () => {
    const drawn = picture(({ y }) => [2 * y, 240 - 2 * y, 40]);
    along(read(drawn, UPRIGHT), 0).forEach((level, i) => {
      expect(level / 2).toBeCloseTo(110 - (100 * (i - BELOW)) / PER_COLUMN, 4);
    });
    expect(along(read(drawn, UPRIGHT), 0, 1)[BELOW]).toBeCloseTo(20, 4);
    expect(along(read(drawn, UPRIGHT), 0, 2)[BELOW]).toBeCloseTo(40, 4);
  });

  test("are read across the tube and beside it, 1.5 % of the column apart", () => {
    const strips = read(
      picture(({ x }) => [2 * x, 0, 0]),
      UPRIGHT,
    );
    for (const strip of [-20, -7, 0, 7, 20]) {
      // 100 pixels from the water to the fuel mark.
      expect((along(strips, strip)[0] as number) / 2).toBeCloseTo(45 + 1.5 * strip, 4);
    }
  });

  test("ignore a scratch on one of the three lines of a strip", () => {
    const drawn = (scratched: boolean) =>
      read(
        picture(({ x }) => (scratched && x === 42.5 ? [255, 255, 255] : WATER)),
        UPRIGHT,
      );
    expect(along(drawn(true), -1)).toEqual(along(drawn(false), -1));
    expect(along(drawn(true), -2)).not.toEqual(along(drawn(false), -2));
  });

  test("continue past the edge with the last pixel", () => {
    const marks = marked(at(1, 179), at(1, 110), at(1, 1));
    const strips = read(
      picture(({ x }) => [2 * x, 0, 0]),
      marks,
    );
    expect(along(strips, -20).every((level) => level === 1)).toBe(true);
    expect(along(strips, 20)[0]).toBeGreaterThan(60);
  });
});
