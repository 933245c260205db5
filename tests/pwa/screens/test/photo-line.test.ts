// From crosses on a photo to a reading in the tube's own unit.
import type { Marks } from "@/chemistry/axis";
import { EMPTY_RUN } from "@/model/progress";
import type { TubeRow } from "@/rows/tube";
import { wholeTube } from "@/rows/tube";
import { bottomOffered, HAND_PIXELS, linePixels, photoLine } from "@/screens/test/photo-line";

const tube: TubeRow = wholeTube({
  id: "018f0000-0000-7000-8000-000000000001",
  name: "100 mL tube",
  scale: "volume",
  graduation: 1,
  liquid: "water",
  tolerance: null,
  water_mark: 50,
  fuel_mark: 100,
  made_at: "2026-01-01T00:00:00Z",
  put_away: false,
});
const run = { ...EMPTY_RUN, water: 50, fuel: 50 };

/** A tube of 100 mL tilted away from a pinhole camera: 0 mL at distance 1, 100 mL at `far`; pixels. */
function seen(volume: number, far = 1) {
  const share = volume / 100;
  const depth = 1 + share * (far - 1);
  return { x: 400, y: 1500 - (1200 * share) / depth };
}
function marks(line: number, far = 1): Marks {
  return { bottom: seen(10, far), water: seen(50, far), fuel: seen(100, far), line: seen(line, far) };
}

describe("the line of a photo", () => {
  it("is the volume at any tilt, in the unit of the tube's scale", () => {
    for (const far of [1, 1.4, 0.7]) {
      const found = photoLine(tube, run, "ab", marks(88.8, far), 10);
      expect(found).toMatchObject({ entry: { line: 88.8, percent: null } });
      expect(found).toMatchObject({ entry: { marks: { photo: "ab", bottom_volume: 10, line: seen(88.8, far) } } });
    }
    // 38.8 of 50 mL are 77.6 on a linear scale.
    expect(photoLine({ ...tube, scale: "linear" }, run, "ab", marks(88.8), 10)).toMatchObject({
      entry: { line: null, percent: 77.6 },
    });
  });

  // 1200 px for 100 mL: 2 px are 0.167 mL, and the line's own cross is one of four.
  it("has the uncertainty of setting the crosses", () => {
    const found = photoLine(tube, run, "ab", marks(88.8), 10);
    if (found === null || typeof found === "string") throw new Error("no reading");
    expect(found.half_width).toBeGreaterThan(2 / 12);
    expect(found.half_width).toBeLessThan((2 * 2) / 12);
    const wide = photoLine(tube, run, "ab", marks(88.8), 10, 24);
    expect(wide).toMatchObject({ half_width: expect.closeTo(2, 1) });
  });

  it("explains in a sentence why it is missing", () => {
    const swapped = { ...marks(88.8), water: seen(100), fuel: seen(50) };
    expect(photoLine(tube, run, "ab", swapped, 10)).toMatch(/^[A-Z].*\.$/);
    expect(photoLine(tube, run, "ab", marks(88.8), 60)).toMatch(/^[A-Z].*\.$/);
    expect(photoLine(tube, run, "ab", { ...marks(88.8), line: seen(120) }, 10)).toMatch(/^[A-Z].*\.$/);
  });

  it("needs the bottom mark's volume, the filling and the kind of scale", () => {
    expect(photoLine(tube, run, "ab", marks(88.8), null)).toBeNull();
    expect(photoLine(tube, EMPTY_RUN, "ab", marks(88.8), 10)).toBeNull();
    expect(photoLine({ ...tube, scale: "unknown" }, run, "ab", marks(88.8), 10)).toBeNull();
    expect(bottomOffered(run)).toBe(10);
  });
});

describe("the line's own half-width", () => {
  const border = { place: seen(88.8), half_width: 9 };

  it("is that of the border while the cross is inside it, and never finer than a hand", () => {
    expect(linePixels(marks(88.8), border)).toBe(9);
    expect(linePixels({ ...marks(88.8), line: { x: 400, y: border.place.y + 9 } }, border)).toBe(9);
    expect(linePixels({ ...marks(88.8), line: { x: 400, y: border.place.y + 10 } }, border)).toBe(HAND_PIXELS);
    expect(linePixels(marks(88.8), { ...border, half_width: 0.5 })).toBe(HAND_PIXELS);
    expect(linePixels(marks(88.8), null)).toBe(HAND_PIXELS);
  });
});
