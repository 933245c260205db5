// The suggestion on drawn profiles, where the right answer is known without a camera.
import fc from "fast-check";
import { BELOW, find_line, PER_COLUMN, type Profile, SAMPLES } from "@/chemistry/edge";
import { noise } from "./noise";

type Colour = readonly [number, number, number];
type Coloured = (share: number) => Colour;
const WATER: Colour = [180, 5, -5];
const FUEL: Colour = [150, -20, 30];
const MILK: Colour = [215, 0, 0];
const WALL: Colour = [120, 0, 4];

/** Seven strips of one colouring and two of another, with noise of one level. */
function profile(inside: Coloured, beside: Coloured = () => WALL): Profile {
  const draw = noise(5);
  const strip = (colour: Coloured) =>
    Array.from({ length: SAMPLES }, (_, i) => colour((i - BELOW) / PER_COLUMN).map((level) => level + draw()));
  const strips = (count: number, colour: Coloured) => Array.from({ length: count }, () => strip(colour));
  return { inside: strips(7, inside), beside: strips(2, beside) };
}

function mixed(low: Colour, high: Colour, share: number): Colour {
  const [a, b, c] = low.map((level, i) => (1 - share) * level + share * (high[i] as number));
  return [a as number, b as number, c as number];
}

/** A change from water to fuel around 0.7 that is as wide as said, in shares of the fuel column. */
const change =
  (width: number): Coloured =>
  (share) =>
    mixed(WATER, FUEL, Math.min(Math.max((share - 0.7) / width + 0.5, 0), 1));

/** A step of so much of the way from water to fuel. */
const faint =
  (part: number): Coloured =>
  (share) =>
    share < 0.5 ? WATER : mixed(WATER, FUEL, part);
/** A band between the layers, as thick as said. */
const banded =
  (thick: number): Coloured =>
  (share) =>
    share < 0.5 ? WATER : share < 0.5 + thick ? [163, -8, 12] : FUEL;
const sharp: Coloured = (share) => (share < 0.7 ? WATER : FUEL);
const printed: Coloured = (share) => (Math.round(BELOW + PER_COLUMN * share) % 20 < 5 ? [40, 0, 0] : sharp(share));
const glare: Coloured = (share) => (share < 0.4 ? [250, 0, 0] : sharp(share));
const shaded: Coloured = (share) => (share < 0.3 ? [155, 5, -5] : sharp(share));
const shadedWall: Coloured = (share) => (share < 0.31 ? [90, 0, 4] : WALL);
const covered: Coloured = (share) => (share < 0.9 ? [250, 0, 0] : FUEL);
/** Two of the strips coloured otherwise. */
const partly = (other: Coloured): Profile => {
  const { inside, beside } = profile(sharp);
  return { inside: [...profile(other).inside.slice(0, 2), ...inside.slice(2)], beside };
};

test("a sharp line is found where it is", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.05, max: 0.88, noNaN: true }), (at) => {
      const found = find_line(profile((share) => (share < at ? WATER : FUEL)));
      expect(Math.abs((found?.share ?? 2) - at)).toBeLessThan(1.5 / PER_COLUMN);
      expect(found?.half_width).toBeGreaterThan(0);
      expect(found?.half_width).toBeLessThan(0.01);
    }),
    { numRuns: 40 },
  );
});

test("a wide border is as wide as it is, and its place is nearer to its lower end", () => {
  const found = find_line(profile(change(0.03)));
  expect(found?.half_width).toBeGreaterThan(0.01);
  expect(found?.half_width).toBeLessThan(0.02);
  expect(found?.share).toBeGreaterThan(0.685);
  expect(found?.share).toBeLessThan(0.7);
});

test("graduations neither hide nor move the line", () => {
  expect(Math.abs((find_line(profile(printed))?.share ?? 2) - 0.7)).toBeLessThan(0.01);
});

test("glare over some of the strips does not hide the line", () => {
  for (const other of [glare, covered])
    expect(Math.abs((find_line(partly(other))?.share ?? 2) - 0.7)).toBeLessThan(0.01);
});

test.each<[string, Coloured]>([
  ["one colour", () => WATER],
  ["a step too faint to stand out from noise", faint(0.08)],
  ["a band of milk", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : FUEL)],
  ["a band that is not thin enough for print", banded(0.04)],
  ["a slow change", (share) => mixed(WATER, FUEL, Math.min(Math.max((share - 0.3) / 0.3, 0), 1))],
  ["a border that is too wide", change(0.05)],
  ["only the fuel's own surface", (share) => (share < 0.93 ? WATER : FUEL)],
  ["only the water's own mark", (share) => (share < 0.01 ? WATER : FUEL)],
])("no clear line: %s", (_, colour) => {
  expect(find_line(profile(colour))).toBeNull();
});

test.each<[string, Coloured, number]>([
  ["a faint step", faint(0.1), 0.5],
  ["a band as thin as print", banded(0.035), 0.5],
  ["a wide border", change(0.045), 0.7],
])("a line that is just clear enough: %s", (_, colour, at) => {
  expect(Math.abs((find_line(profile(colour))?.share ?? 2) - at)).toBeLessThan(0.0125);
});

test("an edge behind the tube is no second line", () => {
  expect(find_line(profile(shaded))).toBeNull();
  expect(Math.abs((find_line(profile(shaded, shadedWall))?.share ?? 2) - 0.7)).toBeLessThan(0.01);
});

test("what only one side shows is not behind the tube", () => {
  const { inside, beside } = profile(shaded);
  const [shadow] = profile(shaded, shadedWall).beside;
  expect(find_line({ inside, beside: [shadow, beside[1]] as Profile["beside"] })).toBeNull();
});

// What a second implementation, in Python with numpy, gave for the same profiles.
test.each<[string, Profile, number, number]>([
  ["a sharp line", profile(sharp), 0.698604307475633, 0.007616374320003488],
  ["a wide border", profile(change(0.03)), 0.6942807480057038, 0.01509125417085805],
  ["between graduations", profile(printed), 0.6982317973567825, 0.0065942502516447375],
  ["partly in glare", partly(glare), 0.6986039851799367, 0.007616476641880539],
  ["partly covered by glare", partly(covered), 0.6986172151445094, 0.007619747237194687],
  ["before an edge", profile(shaded, shadedWall), 0.6986042446416774, 0.0076168174694606705],
])("%s: the line is where it always was", (_, drawn, share, half_width) => {
  const found = find_line(drawn);
  expect(found?.share).toBeCloseTo(share, 9);
  expect(found?.half_width).toBeCloseTo(half_width, 9);
});
