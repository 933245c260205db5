import type { CanRow } from "@/rows/can";
import { dueOf, isNewer, isOfCan, isTyped } from "@/screens/fuel/can-age";
import type { SourceTest } from "@/store/sources";

const can: CanRow = {
  id: "c",
  name: "Red can",
  capacity: 20,
  volume: 18,
  content: 80,
  expanded_uncertainty: 2,
  source: "s",
  test: "t",
  tested_at: "2026-03-01T10:00:00Z",
  filled_at: "2026-03-02T10:00:00Z",
  opened_humid_at: null,
  retest_days: 14,
  emptied_at: null,
};

const at = (day: string) => new Date(`2026-03-${day}T10:00:00Z`);

describe("the age of a can", () => {
  it("counts from the filling or from a later test", () => {
    expect(dueOf(can, at("15"))).toEqual({ state: "later", on: at("16") });
    expect(dueOf(can, at("16"))).toEqual({ state: "due" });
    expect(dueOf({ ...can, tested_at: "2026-03-10T10:00:00Z" }, at("16"))).toEqual({ state: "later", on: at("24") });
  });

  it("expires at once when the can is opened in humid weather", () => {
    expect(dueOf({ ...can, opened_humid_at: "2026-03-03T10:00:00Z" }, at("03"))).toEqual({ state: "humid" });
  });

  it("is reset only by a sample of its present contents", () => {
    expect(isNewer("2026-03-01T12:00:00Z", can)).toBe(false);
    expect(isNewer("2026-03-05T12:00:00Z", can)).toBe(true);
    expect(isNewer("2026-03-05T12:00:00Z", { ...can, tested_at: "2026-03-06T10:00:00Z" })).toBe(false);
  });
});

describe("the content of a can", () => {
  const test_ = (part: Partial<SourceTest>) =>
    ({ id: "n", own: true, sampled: "can", sampled_at: "2026-03-05T10:00:00Z", ...part }) as SourceTest;
  const isOf = (part: Partial<SourceTest>, others: CanRow[] = []) => isOfCan(test_(part), can.filled_at, others);

  it("comes from own tests of the can since it was filled", () => {
    expect(isOf({})).toBe(true);
    expect(isOf({ own: false })).toBe(false);
    expect(isOf({ sampled_at: "2026-03-01T10:00:00Z" })).toBe(false);
    expect(isOf({ sampled: "tank" })).toBe(false);
    expect(isOf({}, [{ ...can, id: "other", test: "n" }])).toBe(false);
  });

  it("or from an own test of the pump on the day of filling, which two cans may share", () => {
    const pump = { sampled: "pump", sampled_at: "2026-03-02T08:00:00Z" } as const;
    expect(isOf(pump, [{ ...can, id: "other", test: "n" }])).toBe(true);
    expect(isOf({ ...pump, own: false })).toBe(false);
    expect(isOf({ ...pump, sampled_at: "2026-03-04T08:00:00Z" })).toBe(false);
  });

  it("is entered by hand if there is no test", () => {
    expect(isTyped(can)).toBe(false);
    expect(isTyped({ ...can, test: null })).toBe(true);
    expect(isTyped({ ...can, test: null, content: null })).toBe(false);
  });
});
