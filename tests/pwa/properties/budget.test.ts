// What must hold of a result whatever was measured.
import fc from "fast-check";
import { result } from "@/chemistry/budget";
import { line_of_content } from "@/chemistry/extraction";
import type { Measurement } from "@/chemistry/measurement";

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

/** Runs that all show the content exactly, in a 50 mL + 50 mL tube. */
function measurement(made: Case, runs: number): Measurement {
  const line = line_of_content(made.content, 50, 50, made.temperature, made.fuel_water);
  return {
    tube: { scale: "volume", graduation: made.graduation, liquid: "water", tolerance: null },
    runs: Array.from({ length: runs }, () => ({ water: 50, fuel: 50, line, percent: null, top: null })),
    temperature: made.temperature,
    temperature_measured: made.measured,
    fuel_water: made.fuel_water,
  };
}

test("content to reading and back, and the steps lead there", () => {
  fc.assert(
    fc.property(cases, (made) => {
      const answer = result(measurement(made, 1));
      expect(Math.abs(answer.content - made.content)).toBeLessThan(1e-8);
      const steps = answer.steps.reduce((sum, step) => sum + step.change, answer.as_read);
      expect(Math.abs(steps - answer.content)).toBeLessThan(1e-9);
    }),
  );
});

test("uncertainty is positive and shrinks with runs, the shared part stays", () => {
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
