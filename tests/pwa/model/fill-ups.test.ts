// The tank's expected content after a fill-up, and what several fill-ups show about sensor and stations.
import { comparisonOf, driftsOf, heldAfter, partsOf, vehicleAfter } from "@/model/fill-ups";
import type { Stock } from "@/model/tank";
import type { FilledPart, FillRow } from "@/rows/fill";
import { newVehicle } from "@/rows/vehicle";
import { can } from "./can";

const part = (volume: number, content: number | null, more: Partial<FilledPart> = {}): FilledPart => ({
  ...{ volume, content, expanded_uncertainty: content === null ? null : 2 },
  ...{ source: "s", name: "Relais", from: "test", test: "t", water: 0.5, ...more },
});
const inTank = (volume: number | null, content: number | null, expanded_uncertainty: number | null) => ({
  ...{ volume, content, expanded_uncertainty },
});

describe("what the tank should hold", () => {
  // 20 L at 10 ± 2 % and 40 L at 82 ± 2 %: (200 + 3280) / 60 = 58; sqrt((2 / 3)² + (4 / 3)²) = 1.49, by hand.
  it("is the blend with its uncertainty", () => {
    const held = heldAfter(inTank(20, 10, 2), null, [part(40, 82)]);
    expect(held.volume).toBe(60);
    expect(held.content).toBeCloseTo(58, 6);
    expect(held.expanded_uncertainty).toBeCloseTo(1.49, 2);
  });

  // A gauge 5 L off adds (10 - 58) / 60 * 5 = 4 points: sqrt(1.49² + 4²) = 4.27, by hand.
  it("is less certain when the gauge is", () => {
    expect(heldAfter(inTank(20, 10, 2), 5, [part(40, 82)]).expanded_uncertainty).toBeCloseTo(4.27, 2);
  });

  it("is what was added if the tank was empty, and unknown if a part is unknown", () => {
    expect(heldAfter(inTank(0, null, null), null, [part(40, 82)])).toEqual(inTank(40, 82, 2));
    expect(heldAfter(inTank(20, null, null), null, [part(40, 82)])).toEqual(inTank(60, null, null));
    expect(heldAfter(inTank(20, 10, 2), null, [part(40, null)])).toEqual(inTank(60, null, null));
    expect(heldAfter(inTank(null, 10, 2), null, [part(40, 82)])).toEqual(inTank(null, null, null));
  });

  it("becomes the vehicle's tank content", () => {
    const row = vehicleAfter({ ...newVehicle("v"), name: "Van", capacity: 60 }, fillUp(0));
    expect(row).toMatchObject({ name: "Van", capacity: 60, volume: 50, content: 76, changed_at: fillUp(0).filled_at });
  });

  it("names the fuels of a plan and where their contents come from", () => {
    const stock = (key: string, kind: Stock["kind"]): Stock => ({
      ...{ key, name: key, kind },
      part: { volume: 20, content: 80, expanded_uncertainty: 2, volume_uncertainty: 0 },
    });
    const stocks = [stock("c", "can"), stock("typed", "can"), stock("s", "pump"), stock("left", "pump")];
    const plan = { outcome: "reached", additions: [5, 6, 7, 0], blend: (stocks[0] as Stock).part } as const;
    const found = partsOf(plan, stocks, [can, { ...can, id: "typed", test: null, source: null }]);
    expect(found.map((one) => [one.name, one.volume, one.from, one.source, one.test])).toEqual([
      ["c", 5, "test", "s", "t"],
      ["typed", 6, "typed", null, null],
      ["s", 7, "estimate", "s", null],
    ]);
  });
});

/** A fill-up with this deviation of the sensor, points; the limit is sqrt(2² + 5.66²) = 6.0. */
function fillUp(off: number, source: string | null = "s", at = 0): FillRow {
  return {
    ...{ id: `${at}`, vehicle: "v", filled_at: new Date(Date.UTC(2026, 2, 1 + at)).toISOString(), note: "" },
    ...{ added: [part(30, 80, { source, name: source ?? "" })], before: inTank(20, 70, 2) },
    ...{ after: inTank(50, 76, 2), sensed: 76 + off },
  };
}
const all = (...of: [off: number, source: string | null][]) =>
  driftsOf(of.map(([off, from], at) => fillUp(off, from, at)));

describe("the sensor against the computed content", () => {
  it("agrees within both uncertainties, and is not compared if one is missing", () => {
    expect(comparisonOf(fillUp(5.9))?.agree).toBe(true);
    expect(comparisonOf(fillUp(6.1))?.agree).toBe(false);
    expect(comparisonOf({ ...fillUp(0), sensed: null })).toBeNull();
    expect(comparisonOf({ ...fillUp(0), after: inTank(50, null, null) })).toBeNull();
  });

  it("has drifted after three deviations in a row to one side with fuel from different stations", () => {
    expect(all([8, "a"], [9, "b"])).toEqual([]);
    expect(all([8, "a"], [9, "b"], [-8, "a"])).toEqual([]);
    expect(all([8, "a"], [9, "b"], [8, "a"], [1, "b"])).toEqual([]);
    const [drift, ...more] = all([1, "a"], [8, "a"], [9, "b"], [7, "a"]);
    expect(more).toEqual([]);
    expect(drift?.kind).toBe("sensor");
    expect(drift?.found.map((one) => Math.round(one.difference))).toEqual([8, 9, 7]);
    expect(all([8, null], [9, null], [7, null])[0]?.kind).toBe("sensor");
  });

  it("points at the station if other fuel agrees, and says when it cannot tell", () => {
    const [drift, ...more] = all([-8, "a"], [0, "b"], [-9, "a"], [1, "b"], [-8, "a"]);
    expect(more).toEqual([]);
    expect(drift).toMatchObject({ kind: "station", name: "a" });
    expect(all([8, "a"], [9, "a"], [8, "a"])).toMatchObject([{ kind: "either", name: "a" }]);
  });

  it("ignores fill-ups without a comparison", () => {
    const silent = { ...fillUp(0, "a", 9), sensed: null };
    expect(driftsOf([fillUp(8, "a", 0), fillUp(8, "b", 1), silent, fillUp(8, "a", 10)])).toHaveLength(1);
  });
});
