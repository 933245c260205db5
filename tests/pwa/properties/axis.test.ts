// With any camera, three known marks give back the volume at the line.
import fc from "fast-check";
import {
  line_half_width,
  line_of_marks,
  type Marks,
  mark_sensitivities,
  type Place,
  place_of_volume,
} from "@/chemistry/axis";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const volumes = real(5, 95);
type Camera = [turn: number, nearness: number, size: number, shift: number];
const cameras: fc.Arbitrary<Camera> = fc.tuple(real(-3.1, 3.1), real(-0.35, 0.35), real(3, 30), real(100, 2000));

/** A point of the tube's axis in the picture: the general projective map of a line, rotated and shifted. */
function seen(volume: number, [turn, nearness, size, shift]: Camera): Place {
  const along = (size * volume) / (1 + (nearness * volume) / 100);
  return { x: shift + along * Math.sin(turn), y: shift - along * Math.cos(turn) };
}

const marks = (line: number, camera: Camera): Marks => ({
  bottom: seen(0, camera),
  water: seen(50, camera),
  fuel: seen(100, camera),
  line: seen(line, camera),
});

test("any camera gives back the volume", () => {
  fc.assert(
    fc.property(volumes, cameras, (line, camera) => {
      expect(Math.abs(line_of_marks(marks(line, camera), 0, 50, 100) - line)).toBeLessThan(1e-6);
    }),
  );
});

test("seeing a volume inverts reading it", () => {
  fc.assert(
    fc.property(volumes, cameras, (line, camera) => {
      const found = place_of_volume(marks(50, camera), line, 0, 50, 100);
      const there = seen(line, camera);
      expect(Math.hypot(found.x - there.x, found.y - there.y)).toBeLessThan(1e-5);
    }),
  );
});

test("sensitivities are the slopes along the axis", () => {
  fc.assert(
    fc.property(real(10, 90), cameras, (line, camera) => {
      const placed = marks(line, camera);
      const [x, y] = [placed.fuel.x - placed.bottom.x, placed.fuel.y - placed.bottom.y];
      const length = Math.hypot(x, y);
      const moved = (name: keyof Marks, by: number) => {
        const place = { x: placed[name].x + (by * x) / length, y: placed[name].y + (by * y) / length };
        return line_of_marks({ ...placed, [name]: place }, 0, 50, 100);
      };
      const found = mark_sensitivities(placed, 0, 50, 100);
      for (const name of ["bottom", "water", "fuel", "line"] as const) {
        const slope = (moved(name, 1e-3) - moved(name, -1e-3)) / 2e-3;
        expect(Math.abs(found[name] - slope)).toBeLessThan(1e-3 * Math.abs(slope) + 1e-5);
      }
    }),
  );
});

test("the uncertainties of the line and the three marks add in quadrature", () => {
  fc.assert(
    fc.property(real(10, 90), cameras, real(0.5, 20), real(0.5, 5), (line, camera, line_pixels, mark_pixels) => {
      const placed = marks(line, camera);
      const effect = mark_sensitivities(placed, 0, 50, 100);
      const effects = [
        line_pixels * effect.line,
        ...(["bottom", "water", "fuel"] as const).map((m) => mark_pixels * effect[m]),
      ];
      const found = line_half_width(placed, 0, 50, 100, line_pixels, mark_pixels);
      expect(found / Math.hypot(...effects)).toBeCloseTo(1, 9);
    }),
  );
});

test("a wider line is less certain", () => {
  fc.assert(
    fc.property(volumes, cameras, real(0.5, 20), (line, camera, pixels) => {
      const width = (of_line: number) => line_half_width(marks(line, camera), 0, 50, 100, of_line, 1);
      expect(width(pixels)).toBeGreaterThan(0);
      expect(width(2 * pixels)).toBeGreaterThan(width(pixels));
    }),
  );
});
