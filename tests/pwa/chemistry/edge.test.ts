// The line suggestion on synthetic profiles with a known answer.
import fc from "fast-check";
import type { Strip } from "@/chemistry/border";
import { BELOW, find_line, PER_COLUMN, type Profile, SAMPLES } from "@/chemistry/edge";
import { noise } from "./noise";

type Colour = readonly [number, number, number];
type Coloured = (share: number) => Colour;
const WATER: Colour = [180, 5, -5];
const FUEL: Colour = [150, -20, 30];
const MILK: Colour = [215, 0, 0];
const DARK: Colour = [90, 0, 0];
const WALL: Colour = [120, 0, 4];
const STRIPS = 13;

/** Strips with one colouring and two beside them with another, with noise of one level; `lean`: its tilt, shares. */
function profile(inside: Coloured, beside: Coloured = () => WALL, lean = 0): Profile {
  const draw = noise(5);
  const strip = (colour: Coloured, place: number): Strip => {
    const samples = Array.from({ length: SAMPLES }, (_, i) => colour((i - BELOW) / PER_COLUMN - lean * place));
    const colours = [0, 1, 2].map((c) => Float64Array.from(samples, (sample) => (sample[c] as number) + draw()));
    return { colours, beside: place };
  };
  return {
    inside: Array.from({ length: STRIPS }, (_, s) => strip(inside, 0.015 * (s - 6))),
    beside: [-0.27, 0.27].map((place) => strip(beside, place)),
  };
}

function mixed(low: Colour, high: Colour, share: number): Colour {
  const [a, b, c] = low.map((level, i) => (1 - share) * level + share * (high[i] as number));
  return [a as number, b as number, c as number];
}

/** A change from water to fuel around 0.7 of this width, in shares of the fuel column. */
const change =
  (width: number): Coloured =>
  (share) =>
    mixed(WATER, FUEL, Math.min(Math.max((share - 0.7) / width + 0.5, 0), 1));

/** A step of this share of the difference between water and fuel. */
const faint =
  (part: number): Coloured =>
  (share) =>
    share < 0.5 ? WATER : mixed(WATER, FUEL, part);
/** A band of this thickness between the layers. */
const banded =
  (thick: number, colour = MILK): Coloured =>
  (share) =>
    share < 0.5 ? WATER : share < 0.5 + thick ? colour : FUEL;
/** Lines of another colour in one liquid. */
const lined =
  (colour: Colour, ...places: number[]): Coloured =>
  (share) =>
    places.some((place) => share >= place && share < place + 0.012) ? colour : WATER;
const sharp: Coloured = (share) => (share < 0.7 ? WATER : FUEL);
const printed: Coloured = (share) => (Math.round(BELOW + PER_COLUMN * share) % 20 < 5 ? [40, 0, 0] : sharp(share));
const glare: Coloured = (share) => (share < 0.4 ? [250, 0, 0] : sharp(share));
const shaded: Coloured = (share) => (share < 0.3 ? [155, 5, -5] : sharp(share));
const shadedWall: Coloured = (share) => (share < 0.31 ? [90, 0, 4] : WALL);
const covered: Coloured = () => [250, 0, 0];
/** Some strips with another colouring. */
const partly = (count: number, other: Coloured): Profile => {
  const { inside, beside } = profile(sharp);
  return { inside: [...profile(other).inside.slice(0, count), ...inside.slice(count)], beside };
};
const found_at = (drawn: Profile) => find_line(drawn)?.share ?? 2;

test("a sharp line is found where it is", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.05, max: 0.86, noNaN: true }), (at) => {
      const found = find_line(profile((share) => (share < at ? WATER : FUEL)));
      expect(Math.abs((found?.share ?? 2) - at)).toBeLessThan(1 / PER_COLUMN);
      expect(Math.abs((found?.share ?? 2) - at)).toBeLessThan(found?.half_width ?? 0);
      expect(found?.half_width).toBeLessThan(0.01);
    }),
    { numRuns: 40 },
  );
});

test("a slanted line is found where it meets the axis", () => {
  for (const lean of [-0.08, 0.08]) {
    const found = find_line(profile(sharp, undefined, lean));
    expect(Math.abs((found?.share ?? 2) - 0.7)).toBeLessThan(2 / PER_COLUMN);
    expect(found?.half_width).toBeLessThan(0.01);
  }
});

test("a wide border gets its true width, and its position is near its lower end", () => {
  const narrow = find_line(profile(sharp));
  const found = find_line(profile(change(0.015)));
  expect(found?.half_width).toBeGreaterThan((narrow?.half_width ?? 1) + 0.0004);
  expect(found?.half_width).toBeLessThan(0.01);
  expect(found?.share).toBeGreaterThan(0.695);
  expect(found?.share).toBeLessThan(0.7);
});

test("a thin emulsion between the layers counts as part of the border, and a dark rim starts at the line", () => {
  const cuff = find_line(profile(banded(0.025)));
  expect(cuff?.share).toBeGreaterThan(0.503);
  expect(cuff?.share).toBeLessThan(0.515);
  expect(cuff?.half_width).toBeGreaterThan(0.0125);
  expect(Math.abs(found_at(profile(banded(0.015, DARK))) - 0.5)).toBeLessThan(0.004);
});

test("neither graduations nor digits hide or move the line", () => {
  expect(Math.abs(found_at(profile(printed)) - 0.7)).toBeLessThan(0.005);
  const digit: Coloured = (share) => (Math.abs(share - 0.72) < 0.03 ? DARK : sharp(share));
  expect(Math.abs(found_at(partly(5, digit)) - 0.7)).toBeLessThan(0.005);
});

test("glare on some strips does not hide the line", () => {
  for (const other of [glare, covered]) expect(Math.abs(found_at(partly(4, other)) - 0.7)).toBeLessThan(0.005);
});

test("an edge seen in fewer than half of the strips is not a line", () => {
  expect(find_line(partly(8, () => WATER))).toBeNull();
});

test.each<[string, Coloured]>([
  ["one colour", () => WATER],
  ["a step too faint to stand out from noise", faint(0.03)],
  ["a band of milk", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : FUEL)],
  ["a band of milk whose upper end is faint", (share) => (share < 0.5 ? WATER : share < 0.6 ? MILK : [200, -2, 5])],
  ["a cuff that is too thick", banded(0.045)],
  ["a slow change", (share) => mixed(WATER, FUEL, Math.min(Math.max((share - 0.3) / 0.3, 0), 1))],
  ["a border that is too wide", change(0.08)],
  ["only the fuel's own surface", (share) => (share < 0.93 ? WATER : FUEL)],
  ["only the water's own mark", (share) => (share < 0.01 ? WATER : FUEL)],
  ["two dark lines in one liquid", lined(DARK, 0.3, 0.6)],
  ["a faint line in one liquid", lined([176, 5, -5], 0.6)],
])("no clear line: %s", (_, colour) => {
  expect(find_line(profile(colour))).toBeNull();
});

test.each<[string, Coloured, number]>([
  ["a faint step", faint(0.15), 0.5],
  ["a thin cuff", banded(0.03), 0.51],
  ["a wide border", change(0.017), 0.699],
  ["one dark line in one liquid", lined(DARK, 0.6), 0.6],
])("a line that is just clear enough: %s", (_, colour, at) => {
  expect(Math.abs(found_at(profile(colour)) - at)).toBeLessThan(0.006);
});

test("an edge behind the tube is not a second line, even if slanted", () => {
  expect(find_line(profile(shaded))).toBeNull();
  expect(Math.abs(found_at(profile(shaded, shadedWall)) - 0.7)).toBeLessThan(0.005);
  const { inside, beside } = profile(shaded);
  const at = (place: number) => profile(shaded, (share) => shadedWall(share - place)).beside;
  const aslant = [at(0.08)[0], at(-0.08)[1]] as Strip[];
  expect(Math.abs(found_at({ inside, beside: aslant }) - 0.7)).toBeLessThan(0.005);
  expect(find_line({ inside, beside: [at(0.08)[0], beside[1]] as Strip[] })).toBeNull();
});

test("the fuel's surface, seen a little low, is not a second line", () => {
  const surface =
    (share: number): Coloured =>
    (at) =>
      at < 0.7 ? WATER : at < share ? FUEL : [215, 0, 0];
  expect(Math.abs(found_at(profile(surface(0.892))) - 0.7)).toBeLessThan(0.005);
  expect(find_line(profile(surface(0.87)))).toBeNull();
});

test("an edge of another colour beside the tube is ignored", () => {
  expect(find_line(profile(shaded, (share) => (share < 0.31 ? [150, 0, 4] : WALL)))).toBeNull();
  expect(Math.abs(found_at(profile(sharp, (share) => (share < 0.7 ? [90, 0, 4] : WALL))) - 0.7)).toBeLessThan(0.005);
});
