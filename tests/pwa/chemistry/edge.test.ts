// The line suggestion on plain drawings with a known answer; tests/photo asks it of rendered photos.
import { BELOW, find_line, PER_COLUMN } from "@/chemistry/edge";
import { SAMPLES, STRIPS } from "@/chemistry/network";
import { noise } from "./noise";

type Colour = readonly [number, number, number];
/** A colour by the share of the way from the water mark to the fuel mark, and the share across the tube. */
type Coloured = (along: number, across: number) => Colour;
const WATER: Colour = [185, 190, 188];
const FUEL: Colour = [205, 160, 80];
const MILK: Colour = [228, 226, 220];
const DARK: Colour = [70, 66, 60];
const BEHIND: Colour = [120, 126, 122];
const GLASS: Colour = [84, 88, 86];
const AIR: Colour = [150, 155, 152];
/** Half of the bore, and the glass around it. */
const [BORE, OUTSIDE] = [0.12, 0.135];
const SURFACE = 0.96;

/** The strips of a tube with this filling before an even background, with a little noise. */
function strips(filling: Coloured, behind: Coloured = () => BEHIND): Float32Array {
  const draw = noise(5);
  const seen = new Float32Array(3 * STRIPS * SAMPLES);
  for (let strip = 0; strip < STRIPS; strip++) {
    const across = 0.015 * (strip - (STRIPS >> 1));
    for (let i = 0; i < SAMPLES; i++) {
      const along = (i - BELOW) / PER_COLUMN;
      const [aside, full] = [Math.abs(across), along < SURFACE];
      const inside = full ? filling(along, across) : AIR;
      const colour = aside < BORE ? inside : aside < OUTSIDE ? GLASS : behind(along, across);
      for (let c = 0; c < 3; c++) seen[(c * STRIPS + strip) * SAMPLES + i] = (colour[c] as number) + 1.5 * draw();
    }
  }
  return seen;
}

function mixed(low: Colour, high: Colour, share: number): Colour {
  const [a, b, c] = low.map((level, i) => (1 - share) * level + share * (high[i] as number));
  return [a as number, b as number, c as number];
}

/** A line at this share, dark where it meets the glass. */
const parted =
  (at: number, lean = 0): Coloured =>
  (along, across) =>
    Math.abs(along - at - lean * across) < 0.004 ? DARK : along < at + lean * across ? WATER : FUEL;
const sharp = parted(0.7);
/** A band of this thickness between the layers, from 0.5 upwards. */
const banded =
  (thick: number, colour = MILK): Coloured =>
  (along) =>
    along < 0.5 ? WATER : along < 0.5 + thick ? colour : FUEL;
const printed: Coloured = (along, across) =>
  Math.abs(along - Math.round(20 * along) / 20) < 0.004 && across > 0.02 && across < 0.08 ? DARK : sharp(along, across);
const glare: Coloured = (along, across) => (Math.abs(across + 0.05) < 0.02 ? [252, 252, 252] : sharp(along, across));
const off = (drawn: Float32Array, at: number) => Math.abs((find_line(drawn)?.share ?? 2) - at);

test.each([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9])(
  "a line is found where it is, within its half-width: %s",
  (at) => {
    const found = find_line(strips(parted(at)));
    const error = Math.abs((found?.share ?? 2) - at);
    expect(error).toBeLessThan(0.005);
    expect(error).toBeLessThan(found?.half_width ?? 0);
    expect(found?.half_width).toBeLessThan(0.025);
  },
);

test.each<[string, Float32Array, number]>([
  ["that leans", strips(parted(0.7, 0.08)), 0.7],
  ["with a thin cuff", strips(banded(0.02)), 0.51],
  ["beside print", strips(printed), 0.7],
  ["beside glare", strips(glare), 0.7],
  ["before an edge in the background", strips(sharp, (along) => (along < 0.4 ? DARK : BEHIND)), 0.7],
])("a line is found: one %s", (_, drawn, at) => {
  expect(off(drawn, at)).toBeLessThan(0.01);
});

test.each<[string, Coloured]>([
  ["one liquid", () => WATER],
  ["milk", () => MILK],
  ["a thick band of milk", banded(0.2)],
  ["a slow change", (along) => mixed(WATER, FUEL, Math.min(Math.max((along - 0.3) / 0.4, 0), 1))],
])("no line is suggested: %s", (_, filling) => {
  expect(find_line(strips(filling))).toBeNull();
});
