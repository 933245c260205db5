// Properties of blends of any fuels.
import fc from "fast-check";
import { heel, mix, type Part, reach } from "@/chemistry/blend";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const parts: fc.Arbitrary<Part> = fc.record({
  volume: real(0.1, 100),
  content: real(0, 100),
  expanded_uncertainty: real(0.1, 5),
  volume_uncertainty: real(0, 1),
});

test("a blend lies between its parts", () => {
  fc.assert(
    fc.property(fc.array(parts, { minLength: 1, maxLength: 6 }), (many) => {
      const blend = mix(many);
      const contents = many.map((part) => part.content);
      expect(blend.content).toBeGreaterThanOrEqual(Math.min(...contents) - 1e-9);
      expect(blend.content).toBeLessThanOrEqual(Math.max(...contents) + 1e-9);
      expect(blend.expanded_uncertainty).toBeGreaterThan(0);
    }),
  );
});

test("a plan reaches its target within the tank's room and the available fuel", () => {
  const stocks = fc.array(parts, { minLength: 1, maxLength: 4 });
  fc.assert(
    fc.property(parts, stocks, real(0, 100), real(5, 95), (tank, many, room, target) => {
      const plan = reach(tank, room, target, many);
      plan.additions.forEach((litres, k) => {
        expect(litres).toBeGreaterThanOrEqual(0);
        expect(litres).toBeLessThanOrEqual((many[k] as Part).volume + 1e-9);
      });
      expect(plan.additions.reduce((sum, litres) => sum + litres, 0)).toBeLessThanOrEqual(room + 1e-9);
      if (plan.outcome === "reached") expect(Math.abs(plan.blend.content - target)).toBeLessThan(1e-6);
    }),
  );
});

test("the heel is the content before filling", () => {
  fc.assert(
    fc.property(parts, fc.array(parts, { minLength: 1, maxLength: 3 }), (before, added) => {
      const found = heel(mix([before, ...added]), added);
      expect(Math.abs(found.volume - before.volume)).toBeLessThan(1e-6);
      expect(Math.abs(found.content - before.content)).toBeLessThan(1e-3);
    }),
  );
});
