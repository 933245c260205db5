import { dueOf, isNewer } from "@/screens/fuel/can-age";
import { canAfter, canStock, pumpStock, roomOf, tankPart } from "@/screens/fuel/tank-state";
import type { CanRow, FiguresRow, Tank } from "@/store/schema";

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

describe("what a blend can be made of", () => {
  it("is a can with a content and something in it", () => {
    expect(canStock(can)?.part).toMatchObject({ volume: 18, content: 80, expanded_uncertainty: 2 });
    expect(canStock({ ...can, content: null })).toBeNull();
    expect(canStock({ ...can, volume: 0 })).toBeNull();
    expect(canStock({ ...can, emptied_at: "2026-03-05T10:00:00Z" })).toBeNull();
  });

  // A normal distribution has 90 % within 1.645 and 95 % within 1.960 standard deviations.
  it("is a pump by its next fill, the 90 % interval widened to 95 %", () => {
    const figures = { typical: 80, next_fill: [76.71, 82] } as unknown as FiguresRow["figures"];
    const stock = pumpStock({ source: "s", name: "Station", pump: "", figures } as FiguresRow);
    expect(stock?.part.expanded_uncertainty).toBeCloseTo(2 * 1.96, 2);
    expect(stock?.part.volume).toBe(Number.POSITIVE_INFINITY);
  });

  it("needs a tank whose volume and content are known", () => {
    const tank: Tank = { capacity: 60, volume: 22, content: 61, expanded_uncertainty: 3, changed_at: "" };
    expect(tankPart(tank)).toMatchObject({ volume: 22, content: 61 });
    expect(tankPart({ ...tank, expanded_uncertainty: null })).toBeNull();
    expect(tankPart({ ...tank, volume: 0, content: null })).toMatchObject({ volume: 0 });
    expect(roomOf(tank)).toBe(38);
    expect(roomOf({ ...tank, capacity: null })).toBeNull();
  });

  it("leaves an empty can behind when all was taken", () => {
    expect(canAfter(can, 5.1, at("05"))).toMatchObject({ volume: 12.9, emptied_at: null });
    expect(canAfter(can, 18, at("05"))).toMatchObject({ volume: 0, emptied_at: at("05").toISOString() });
    expect(canAfter(can, 18.4, at("05")).volume).toBe(0);
  });
});
