// Weighing the water in a tube. Outside reference: 998.207 kg/m³ at 20 °C and 1.2 kg/m³ of air against weights of
// 8000 kg/m³ (CRC Handbook; OIML R 111), so 50 g in air are 50.09 mL, and 50.14 mL with the buoyancy that is left out.

import { excessOf, mostOff, nextMark, uncertaintyOf, verdictOf, type Weighing, weighedMark } from "@/model/weighing";
import type { WeighedMark } from "@/rows/tube";
import { NOW, tubeRow } from "../helpers/examples";

const weighed = (change: Partial<Weighing> = {}): WeighedMark =>
  weighedMark({ nominal: 50, mass: 50, temperature: 20, resolution: 0.1, ...change }, NOW) as WeighedMark;

describe("a weighed mark", () => {
  it("has the mass divided by the density of water", () => {
    const mark = weighed();
    expect(mark.true).toBeCloseTo(50 / 0.998207, 3);
    expect(excessOf(mark)).toBeCloseTo(0.09, 2);
    expect(mark).toMatchObject({ nominal: 50, mass: 50, resolution: 0.1, weighed_at: NOW.toISOString() });
  });

  it("has the uncertainty of the balance's step and of air buoyancy", () => {
    const buoyancy = 50.14 - 50.09;
    expect(uncertaintyOf(weighed({ resolution: 0.0001 }))).toBeCloseTo(buoyancy, 2);
    expect(uncertaintyOf(weighed({ resolution: 1 }))).toBeCloseTo(0.5 + buoyancy, 2);
  });

  it("is empty while something is missing", () => {
    for (const missing of ["nominal", "mass", "temperature"]) {
      expect(weighedMark({ nominal: 50, mass: 50, temperature: 20, resolution: 0.1, [missing]: null }, NOW)).toBeNull();
    }
  });
});

describe("the check of a mark before it is saved", () => {
  const row = tubeRow({ tolerance: 0.5 });

  it.each([
    ["nothing that this balance can tell", 49.9, 0.1, "within"],
    ["a difference", 49.6, 0.1, "differs"],
    ["a difference that whole grams cannot tell", 49.6, 1, "within"],
    ["more than the tube states", 48, 0.1, "beyond_tolerance"],
    ["more than any tube has", 44, 0.1, "impossible"],
    ["the tube weighed along", 92, 0.1, "impossible"],
  ])("%s", (_, mass, resolution, verdict) => {
    expect(verdictOf(row, weighed({ mass, resolution }))).toBe(verdict);
  });

  it("depends on the largest mark, as in the results", () => {
    const larger = { ...row, calibration: [weighed({ nominal: 100, mass: 99.8 })] };
    expect(verdictOf(larger, weighed({ mass: 44 }))).toBe("beyond_tolerance");
    expect([mostOff(row, weighed()), mostOff(larger, weighed())]).toEqual([5, 10]);
  });

  it("does not mention a tolerance that the tube does not state", () => {
    expect(verdictOf(tubeRow(), weighed({ mass: 48 }))).toBe("differs");
  });
});

it("the two fill marks are offered first", () => {
  const row = tubeRow();
  expect(nextMark(row)).toBe(50);
  expect(nextMark({ ...row, calibration: [weighed()] })).toBe(100);
  expect(nextMark(row, weighed())).toBe(100);
  expect(nextMark({ ...row, calibration: [weighed(), weighed({ nominal: 100 })] })).toBe(100);
});
