// @vitest-environment happy-dom
// How a result is explained: what dominates, what would help, what is odd.
import { result } from "@/chemistry/budget";
import type { Measurement } from "@/chemistry/measurement";
import { NO_VEHICLES, newVehicle } from "@/rows/vehicle";
import { ResultView } from "@/screens/shared/result/result-view";
import { settings, vehicles } from "@/state/signals";
import { mount, unmount } from "../../../helpers/mount";

afterEach(() => {
  unmount();
  vehicles.value = NO_VEHICLES;
  settings.value = { ...settings.value, temperature_unit: "C", own_minimum: null, specification: null };
});

const run = { water: 50, fuel: 50, line: 88.8, percent: null, top: null };
const one: Measurement = {
  tube: { scale: "volume", graduation: 1, liquid: "water", tolerance: null },
  runs: [run],
  temperature: 10,
  temperature_measured: true,
  fuel_water: 0,
};

function said(measurement: Measurement, kept = false): string {
  const outcome = { result: result(measurement), problems: null };
  return mount(<ResultView outcome={outcome} runs={[]} measurement={measurement} tube="t" isSaved={kept} />).text();
}

describe("a result", () => {
  it("names the largest component and the two most useful measures", () => {
    const text = said(one);
    expect(text).toMatch(/The largest part is filling the fuel: ± 0\.\d points on its own\./);
    expect(text).toMatch(
      /A tube with steps half the size would make it ± 1\.\d %\. One more run would make it ± 1\.\d %\./,
    );
  });

  it("shows the line beside the uncorrected content", () => {
    expect(said(one)).toContain("Uncorrected (line at 88.8 mL)77.6 %");
    expect(said({ ...one, runs: [run, run] })).toMatch(/Uncorrected77\.6 %/);
  });

  it("gives a saved test no advice about the tube", () => {
    expect(said(one, true)).not.toContain("would make it");
    expect(said(one, true)).toContain("The largest part is");
  });

  // 84.86 % at 0 °C and 84.00 % at 20 °C, by hand from OIML R 22: 0.43 points for ten degrees.
  it("states the effect of a guessed temperature in the chosen unit", () => {
    expect(said(one)).not.toContain("The temperature is an estimate");
    const guessed = { ...one, temperature_measured: false };
    expect(said(guessed)).toContain("10 °C more in the tube would change the content by −0.4 points");
    settings.value = { ...settings.value, temperature_unit: "F" };
    expect(said(guessed)).toContain("18 °F more in the tube would change the content by −0.4 points");
    const brine = { ...guessed, tube: { ...one.tube, liquid: "brine" as const }, runs: [{ ...run, line: 63 }] };
    expect(said(brine)).not.toContain("The temperature is an estimate");
  });

  it("says what to fill if that helps most", () => {
    const fine = { ...one, tube: { ...one.tube, graduation: 0.1 } };
    expect(said(fine)).toMatch(/Filling 75 mL of water and 25 mL of fuel would make it ± 0\.\d %\./);
  });

  it("distinguishes what another run, another tube or neither would reduce", () => {
    const text = said({ ...one, tube: { ...one.tube, tolerance: 0.5 } });
    expect(text).toContain("solid: changes run to run, more runs help");
    expect(text).toContain("hatched: the same in every run with this tube; another tube helps");
    expect(text).toContain("dotted: the same in every test");
    expect(text).toContain("only a better table");
    expect(said(one)).not.toContain("hatched");
  });

  it("gives a correction and its uncertainty the same letter, and no letter twice in one list", () => {
    const wet = { ...one, fuel_water: 0.3 };
    const outcome = { result: result(wet), problems: null };
    const shown = mount(<ResultView outcome={outcome} runs={[]} measurement={wet} tube="t" isSaved={false} />);
    const [corrections, parts] = [".pictured", ".uncertain"].map((list) => {
      const rows = [...shown.root.querySelectorAll(`${list} li span:first-child`)];
      return new Map(rows.map((row) => [row.lastChild?.textContent, row.querySelector(".letter")?.textContent]));
    });
    for (const list of [corrections, parts]) expect(new Set(list?.values()).size).toBe(list?.size);
    const pairs = new Map([
      ["What the layers exchange", "What the layers exchange"],
      ["Water already in the fuel", "Water in the fuel"],
      ["Water, fuel and tube temperatures", "Tube temperature"],
    ]);
    for (const [name, letter] of corrections ?? []) {
      const [part] = [...(parts ?? [])].find(([, other]) => other === letter) ?? [];
      expect(part).toBe(pairs.get(name ?? ""));
    }
    expect([...(corrections?.keys() ?? [])]).toEqual(expect.arrayContaining([...pairs.keys()]));
  });

  it("says what the exchange correction is based on, and that brine has none", () => {
    expect(said(one)).toContain("What the layers exchange−0.9");
    expect(said(one)).toContain("nobody has published a trial above 30 %");
    const brine = said({ ...one, tube: { ...one.tube, liquid: "brine" }, runs: [{ ...run, line: 63 }] });
    expect(brine).toContain("Not corrected for what the layers exchange");
    expect(brine).not.toContain("nobody has published");
  });

  it("says once that other alcohols count as ethanol, and how much of them may be in the fuel", () => {
    expect(said(one).split("0.5 % methanol and 2 % higher alcohols")).toHaveLength(2);
  });

  it("warns of a freezing lower layer and of a content above every specification", () => {
    const ice = "At this temperature the lower layer would be ice. Is the temperature right?";
    const cold = { ...one, temperature: -18 };
    expect(said({ ...cold, runs: [{ ...run, line: 60 }] })).toContain(ice);
    expect(said(cold)).not.toContain(ice);
    const linear = { ...one, tube: { ...one.tube, scale: "linear" as const } };
    expect(said({ ...linear, runs: [{ ...run, line: null, percent: 88 }] })).toContain("above what any specification");
  });

  // 83.44 ± 1.59 %: a normal distribution has 24.6 % at or above 84 (Python's statistics.NormalDist).
  it("compares the content with the minimum and the specification", () => {
    settings.value = { ...settings.value, own_minimum: 84, specification: "en_15293" };
    expect(said(one)).toContain("25 % likely to meet your 84 % minimum.");
    expect(said(one)).toContain("Too close to a limit of");
    settings.value = { ...settings.value, own_minimum: null, specification: "astm_d5798_15" };
    expect(said({ ...one, runs: [{ ...run, line: 80 }] })).toMatch(/Within what ASTM D5798-15/);
    expect(said({ ...one, runs: [{ ...run, line: 92 }] })).toMatch(/Above what ASTM D5798-15/);
  });

  // The same content: 24.6 % at or above 84, nearly all at or above 70.
  it("says which vehicles it is enough for, and skips those without a minimum", () => {
    settings.value = { ...settings.value, own_minimum: 84 };
    const named = (name: string, minimum: number | null) => ({ ...newVehicle(name), name, minimum });
    vehicles.value = { in_use: "Van", rows: [named("Blue hatchback", 70), named("", 84), named("Van", null)] };
    const text = said(one);
    expect(text).toContain("Blue hatchback: more than 99 % likely to meet its 70 % minimum.");
    expect(text).toContain("Vehicle 2: 25 % likely to meet its 84 % minimum.");
    expect(text).not.toContain("Van");
    expect(text).not.toContain("likely to meet your");
  });

  it("advises nothing before contradicting runs are repeated", () => {
    const text = said({ ...one, runs: [run, { ...run, line: 84 }] });
    expect(text).toContain("Do a third run");
    expect(text).not.toContain("would make it");
  });
});

describe("a result on a per cent scale", () => {
  const linkOf = (measurement: Measurement) => {
    const outcome = { result: result(measurement), problems: null };
    const view = <ResultView outcome={outcome} runs={[]} measurement={measurement} tube="a-tube" isSaved={false} />;
    return mount(view).root.querySelector('a[href="#/tubes/a-tube/scale"]')?.textContent;
  };
  const percent = (scale: "linear" | "unknown", reading: number): Measurement => ({
    ...one,
    tube: { ...one.tube, scale },
    runs: [{ ...run, line: null, percent: reading }],
  });

  it("links to the scale check if the scale is unknown or the content impossible", () => {
    expect(linkOf(percent("unknown", 78))).toBe("Check its scale");
    unmount();
    expect(linkOf(percent("linear", 88))).toBe("Check its scale");
    unmount();
    expect(linkOf(percent("linear", 78))).toBeUndefined();
    unmount();
    expect(linkOf(one)).toBeUndefined();
  });
});
