// Properties of the tube equation for any numbers.
import fc from "fast-check";
import { all_at, content_of_line, line_of_content, sensitivities } from "@/chemistry/extraction";
import { line_of_reading, reading_of_line } from "@/chemistry/scale";
import { SCALES } from "@/records";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const contents = real(-20, 120);
const volumes = real(5, 500);
const conditions = fc.tuple(real(-20, 40), real(0, 10));

test("content to line and back", () => {
  fc.assert(
    fc.property(contents, volumes, volumes, conditions, (content, water, fuel, [temperature, fuel_water]) => {
      const line = line_of_content(content, water, fuel, temperature, fuel_water);
      expect(Math.abs(content_of_line(line, water, fuel, temperature, fuel_water) - content)).toBeLessThan(1e-8);
    }),
  );
});

test("the line rises with the content", () => {
  fc.assert(
    fc.property(contents, real(0.01, 5), volumes, volumes, conditions, (content, more, water, fuel, [t, w]) => {
      expect(line_of_content(content + more, water, fuel, t, w)).toBeGreaterThan(
        line_of_content(content, water, fuel, t, w),
      );
    }),
  );
});

test("the sensitivity to the line equals the solver's slope", () => {
  fc.assert(
    fc.property(real(5, 95), volumes, volumes, conditions, (content, water, fuel, [t, w]) => {
      const line = line_of_content(content, water, fuel, t, w);
      const step = 1e-4 * line;
      const slope =
        (content_of_line(line + step, water, fuel, t, w) - content_of_line(line - step, water, fuel, t, w)) /
        (2 * step);
      expect(Math.abs(sensitivities(content, water, fuel, all_at(t), w).line - slope)).toBeLessThan(
        1e-3 * Math.abs(slope),
      );
    }),
  );
});

test("reading a scale inverts drawing it", () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...SCALES.filter((scale) => scale !== "unknown")),
      real(2, 98),
      volumes,
      volumes,
      (scale, content, water, fuel) => {
        const line = line_of_content(content, water, fuel, 20, 0);
        const reading = reading_of_line(scale, line, water, fuel);
        expect(Math.abs(line_of_reading(scale, reading, water, fuel) - line)).toBeLessThan(1e-8 * line);
      },
    ),
  );
});
