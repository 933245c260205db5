import * as fc from "fast-check";
import { askedWait, backOff } from "@/sync/backoff";

test("the wait grows after every failure up to five minutes and differs between phones", () => {
  expect(backOff(1, 0)).toBe(2000);
  expect(backOff(1, 0.999)).toBeLessThan(4000);
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 200 }),
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      (failures, random) => {
        const wait = backOff(failures, random);
        expect(wait).toBeLessThanOrEqual(300_000);
        expect(wait).toBeGreaterThanOrEqual(2000);
        expect(backOff(failures + 1, random)).toBeGreaterThanOrEqual(wait);
      },
    ),
  );
});

test("the wait is as long as the server asks, at most an hour", () => {
  expect([askedWait(null), askedWait(7), askedWait(1e9)]).toEqual([0, 7000, 3_600_000]);
});
