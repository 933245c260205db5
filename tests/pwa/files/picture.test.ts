import * as fc from "fast-check";
import { fitted } from "@/files/picture";

test("large pictures are scaled to 1600 px on the long side and small ones left alone", () => {
  expect(fitted(4000, 3000)).toEqual({ width: 1600, height: 1200 });
  expect(fitted(3000, 4000)).toEqual({ width: 1200, height: 1600 });
  expect(fitted(800, 600)).toEqual({ width: 800, height: 600 });
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 20_000 }), fc.integer({ min: 1, max: 20_000 }), (width, height) => {
      const size = fitted(width, height);
      expect(Math.max(size.width, size.height)).toBeLessThanOrEqual(1600);
      expect(Math.min(size.width, size.height)).toBeGreaterThanOrEqual(1);
      // Rounding to whole pixels changes a side by at most half a pixel, or up to the minimum of one pixel.
      const scale = Math.min(1, 1600 / Math.max(width, height));
      expect(Math.abs(size.width - width * scale)).toBeLessThan(1);
      expect(Math.abs(size.height - height * scale)).toBeLessThan(1);
    }),
  );
});
