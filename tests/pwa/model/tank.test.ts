// Tank, cans and pumps as input of the blend functions.

import {
  canAfter,
  canStock,
  frequencyOf,
  otherStock,
  planOf,
  pumpStock,
  roomOf,
  tankPart,
  volumeBefore,
} from "@/model/tank";
import type { CanRow } from "@/rows/can";
import type { FiguresRow } from "@/rows/source";
import type { Tank } from "@/rows/vehicle";

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
const tank: Tank = { capacity: 60, volume: 20, content: 10, expanded_uncertainty: 2, changed_at: "" };
const at = (day: string) => new Date(`2026-03-${day}T10:00:00Z`);

describe("a fuel for a blend", () => {
  it("can be a can with a known content that is not empty", () => {
    expect(canStock(can)?.part).toMatchObject({ volume: 18, content: 80, expanded_uncertainty: 2 });
    expect(canStock({ ...can, content: null })).toBeNull();
    expect(canStock({ ...can, volume: 0 })).toBeNull();
    expect(canStock({ ...can, emptied_at: "2026-03-05T10:00:00Z" })).toBeNull();
  });

  // A normal distribution has 90 % within 1.645 and 95 % within 1.960 standard deviations.
  it("can be a pump with its next fill, the 90 % interval widened to 95 %", () => {
    const figures = { typical: 80, next_fill: [76.71, 82] } as unknown as FiguresRow["figures"];
    const stock = pumpStock({ source: "s", name: "Station", pump: "", figures } as FiguresRow);
    expect(stock?.part.expanded_uncertainty).toBeCloseTo(2 * 1.96, 2);
    expect(stock?.part.volume).toBe(Number.POSITIVE_INFINITY);
  });

  it("can be another fuel only with its uncertainty", () => {
    expect(otherStock("Other fuel", 8, null)).toBeNull();
    expect(otherStock("Other fuel", 8, 2)?.part).toMatchObject({ content: 8, volume: Number.POSITIVE_INFINITY });
  });

  it("can be combined only with a tank of known volume and content", () => {
    expect(tankPart(tank)).toMatchObject({ volume: 20, content: 10 });
    expect(tankPart({ ...tank, expanded_uncertainty: null })).toBeNull();
    expect(tankPart({ ...tank, volume: 0, content: null })).toMatchObject({ volume: 0 });
    expect(roomOf(tank)).toBe(40);
    expect(roomOf({ ...tank, capacity: null })).toBeNull();
  });

  it("leaves an empty can when all of it was taken", () => {
    expect(canAfter(can, 5.1, at("05"))).toMatchObject({ volume: 12.9, emptied_at: null });
    expect(canAfter(can, 18, at("05"))).toMatchObject({ volume: 0, emptied_at: at("05").toISOString() });
    expect(canAfter(can, 18.4, at("05")).volume).toBe(0);
  });
});

describe("a plan", () => {
  const strong = otherStock("E85", 85, 2);
  const weak = otherStock("E10", 10, 2);
  if (!strong || !weak) throw new Error("no stock");
  const held = { volume: 20, content: 10, expanded_uncertainty: 2, volume_uncertainty: 0 };

  // 20 L at 10 % and x L at 85 % make 50 %: x = 20 (50 - 10) / (85 - 50), by hand.
  it("uses no more than it needs", () => {
    const plan = planOf("least", held, 40, 50, [strong]);
    expect(plan?.outcome).toBe("reached");
    expect(plan?.additions[0]).toBeCloseTo((20 * 40) / 35, 9);
  });

  // 60 L at 50 % contain 30 L of ethanol: 2 are there, 85 s + 10 (40 - s) = 2800, by hand.
  it("fills up with two fuels", () => {
    const plan = planOf("two", held, 40, 50, [strong, weak]);
    expect(plan?.outcome).toBe("reached");
    expect(plan?.additions[0]).toBeCloseTo((2800 - 400) / 75, 9);
    expect(plan?.additions[1]).toBeCloseTo(40 - (2800 - 400) / 75, 9);
    expect(plan?.blend.content).toBeCloseTo(50, 9);
  });

  it("says that a target is out of reach", () => {
    expect(planOf("two", held, 5, 80, [strong, weak])?.outcome).toBe("no_stock_beyond");
    expect(planOf("least", held, 40, 90, [strong])?.outcome).toBe("no_stock_beyond");
    expect(planOf("least", held, 5, 80, [strong])?.outcome).toBe("not_enough_room");
  });

  it("waits for suitable fuels", () => {
    expect(planOf("two", held, 40, 50, [strong])).toBeNull();
    expect(planOf("least", held, 40, 50, [])).toBeNull();
  });
});

describe("the sensor and the litres", () => {
  // 50 Hz is 0 % and 150 Hz 100 % (a car maker's service manual of 1993, and a control unit's maker).
  it("are used as displayed", () => {
    expect(frequencyOf(80, "percent")).toBe(130);
    expect(frequencyOf(130, "frequency")).toBe(130);
    expect(volumeBefore(45, [30, null])).toBe(15);
    expect(volumeBefore(20, [30])).toBe(-10);
  });
});
