import { dueOf, isNewer } from "@/screens/fuel/can-age";
import type { CanRow } from "@/store/schema";

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

  it("is up at once when the can was opened in humid weather", () => {
    expect(dueOf({ ...can, opened_humid_at: "2026-03-03T10:00:00Z" }, at("03"))).toEqual({ state: "humid" });
  });

  it("is renewed only by a sample taken from what is in it now", () => {
    expect(isNewer("2026-03-01T12:00:00Z", can)).toBe(false);
    expect(isNewer("2026-03-05T12:00:00Z", can)).toBe(true);
    expect(isNewer("2026-03-05T12:00:00Z", { ...can, tested_at: "2026-03-06T10:00:00Z" })).toBe(false);
  });
});
