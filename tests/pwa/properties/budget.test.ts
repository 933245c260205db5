// Properties of the result of any measurement.
import fc from "fast-check";
import { advice } from "@/chemistry/advice";
import { type Result, result } from "@/chemistry/budget";
import { contribution } from "@/chemistry/components";
import { line_of_content } from "@/chemistry/extraction";
import type { Liquid, Measurement, Tube } from "@/chemistry/measurement";
import { Unusable } from "@/errors";
import published from "../../../fixtures/published/extraction_equilibrium.json";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const cases = fc.record({
  content: real(3, 97),
  graduation: fc.constantFrom(0.1, 0.5, 1, 2),
  temperature: real(-20, 40),
  measured: fc.boolean(),
  fuel_water: real(0, 3),
});

interface Case {
  content: number;
  graduation: number;
  temperature: number;
  measured: boolean;
  fuel_water: number;
}

/** The content that a line over equal volumes gives, %, with the published bias, interpolated linearly. */
function told(content: number, temperature: number): number {
  if (!(temperature >= 0 && temperature <= 35)) return content;
  const { contents_percent, bias_points, at_zero_content } = published.correction;
  const [contents, bias] = [
    [0, ...contents_percent],
    [at_zero_content.value["1:1"], ...bias_points["1:1"].value],
  ];
  const above = contents.findIndex((node) => node > content);
  const [from, to] = [contents[above - 1] as number, contents[above] as number];
  const [low, high] = [bias[above - 1] as number, bias[above] as number];
  return content + low + ((high - low) * (content - from)) / (to - from);
}

/** Runs that all show the content exactly, in a 50 mL + 50 mL tube. */
function measurement(made: Case, runs: number): Measurement {
  const line = line_of_content(told(made.content, made.temperature), 50, 50, made.temperature, made.fuel_water);
  return {
    tube: tube_of(made.graduation),
    runs: Array.from({ length: runs }, () => ({ water: 50, fuel: 50, line, percent: null, top: null })),
    temperature: made.temperature,
    temperature_measured: made.measured,
    fuel_water: made.fuel_water,
  };
}

function tube_of(graduation: number, liquid: Liquid = "water"): Tube {
  return { scale: "volume", graduation, liquid, tolerance: null };
}

function read(line: number, tube: Tube, water = 50, fuel = 50, temperature = 20): Measurement {
  const runs = [{ water, fuel, line, percent: null, top: null }];
  return { tube, runs, temperature, temperature_measured: true, fuel_water: 0.5 };
}

function part(found: Result, name: string): number {
  return found.components.filter((one) => one.name === name).reduce((sum, one) => sum + contribution(one), 0);
}

function step(found: Result, name: string): number {
  return found.steps.filter((one) => one.name === name).reduce((sum, one) => sum + one.change, 0);
}

function codes(measured: Measurement): string[] {
  try {
    result(measured);
    return [];
  } catch (fault) {
    if (!(fault instanceof Unusable)) throw fault;
    return fault.problems.map((problem) => problem.code);
  }
}

test("content to reading and back, and the steps add up", () => {
  fc.assert(
    fc.property(cases, (made) => {
      const answer = result(measurement(made, 1));
      expect(Math.abs(answer.content - made.content)).toBeLessThan(1e-8);
      const steps = answer.steps.reduce((sum, one) => sum + one.change, answer.as_read);
      expect(Math.abs(steps - answer.content)).toBeLessThan(1e-9);
    }),
  );
});

test("uncertainty is positive and shrinks with runs while the shared part stays", () => {
  fc.assert(
    fc.property(cases, (made) => {
      const answers = [1, 2, 3, 5, 9].map((runs) => result(measurement(made, runs)));
      for (let k = 1; k < answers.length; k++) {
        const [before, after] = [answers[k - 1], answers[k]];
        expect(after?.expanded_uncertainty).toBeGreaterThan(0);
        expect(after?.expanded_uncertainty).toBeLessThan(before?.expanded_uncertainty as number);
        expect(after?.shared_uncertainty).toBeCloseTo(before?.shared_uncertainty as number, 9);
      }
    }),
  );
});

test("a second tube reduces tube errors and a second run does not", () => {
  fc.assert(
    fc.property(cases, fc.integer({ min: 1, max: 4 }), (made, each) => {
      const tube = { ...tube_of(made.graduation), tolerance: 0.5 };
      const again = { ...measurement(made, 2 * each), tube };
      const other = { ...tube, tolerance: 0.5 + 1e-9 };
      const apart = { ...again, runs: again.runs.map((run, index) => (index < each ? run : { ...run, tube: other })) };
      const [one, two] = [result(again), result(apart)];
      expect(part(two, "marks")).toBeCloseTo(part(one, "marks") / Math.SQRT2, 6);
      for (const name of ["fuel_water", "temperature", "exchange", "line"])
        expect(part(two, name)).toBeCloseTo(part(one, name), 9);
      expect(two.expanded_uncertainty).toBeLessThan(one.expanded_uncertainty);
    }),
  );
});

test("a missing filling temperature equals the other one", () => {
  fc.assert(
    fc.property(cases, real(0, 35), (made, filled) => {
      const one = measurement({ ...made, content: 20 + made.content / 2 }, 1);
      const both = result({ ...one, water_temperature: filled, fuel_temperature: filled });
      expect(result({ ...one, water_temperature: filled }).content).toBe(both.content);
      expect(result({ ...one, fuel_temperature: filled, water_temperature: null }).content).toBe(both.content);
      const { water_temperature: _, ...never } = { ...one, water_temperature: null };
      expect(result({ ...one, water_temperature: null, fuel_temperature: null })).toEqual(result(never));
    }),
  );
});

test.each([
  [null, 0, true],
  [84, -1, false],
  [20, -1, true],
])("an offset from a sample of %s %%: exchange is taken off once", (offset_content, off, uncertain) => {
  const tube = { ...tube_of(0.5), offset: -0.8, offset_uncertainty: 1, offset_content };
  const found = result(read(line_of_content(86, 50, 50, 20, 0.5), tube));
  expect(step(found, "exchange")).toBeCloseTo(off, 3);
  expect(found.content).toBeCloseTo(86 + off - 0.8, 3);
  expect(part(found, "exchange") > 0).toBe(uncertain);
});

test.each([
  ["a little more fuel than water", read(80, tube_of(1), 50, 50.9), []],
  ["more fuel than water", read(80, tube_of(1), 46, 54), ["fill_share"]],
  ["hardly any fuel", read(95, tube_of(1), 91, 9), ["fill_share"]],
  ["brine with much fuel", read(50, tube_of(1, "brine"), 40, 60), []],
  ["brine at 29 %", read(64, tube_of(1, "brine")), []],
  ["brine at 41 %", read(70, tube_of(1, "brine")), ["brine_strong"]],
  ["98 %", read(96.3, tube_of(0.1)), []],
  ["98.6 %", read(96.6, tube_of(0.1)), ["no_upper_layer"]],
  ["104 %", read(99.5, tube_of(0.1)), ["content_impossible"]],
] as const)("what cannot be evaluated is refused: %s", (_, measured, expected) => {
  expect(codes(measured)).toEqual(expected);
});

test("all tubes of one test use the same liquid", () => {
  const one = read(80, tube_of(1));
  const runs = [...one.runs, ...one.runs.map((run) => ({ ...run, tube: tube_of(1, "brine") }))];
  expect(codes({ ...one, runs })).toEqual(["liquids_differ"]);
});

test("a layer below its freezing point is flagged", () => {
  const warned = (measured: Measurement) => result(measured).warnings.includes("would_freeze");
  expect(warned(read(54.5, tube_of(1), 50, 50, -20))).toBe(true);
  expect(warned(read(54.5, tube_of(1), 50, 50, -2))).toBe(false);
  expect(warned(read(89, tube_of(1), 50, 50, -20))).toBe(false);
  expect(warned(read(54.5, tube_of(1, "brine"), 50, 50, -20))).toBe(false);
});

test("filling as advised gives the promised uncertainty", () => {
  const before = read(line_of_content(84, 50, 50, 20, 0.5), tube_of(0.2));
  const [first] = advice(before);
  expect([first?.act, first?.water, first?.fuel]).toEqual(["other_filling", 75, 25]);
  const after = result(read(line_of_content(84, 75, 25, 20, 0.5), tube_of(0.2), 75, 25));
  expect(after.expanded_uncertainty / (first?.expanded_uncertainty as number)).toBeCloseTo(1, 2);
  expect(after.expanded_uncertainty).toBeLessThan(0.95 * result(before).expanded_uncertainty);
});
