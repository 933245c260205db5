// @vitest-environment happy-dom
// What a result says of itself: what dominates, what would help, what is odd.
import { result } from "@/chemistry/budget";
import type { Measurement } from "@/chemistry/measurement";
import { settings } from "@/live";
import { ResultView } from "@/screens/test/result-view";
import { mount, unmount } from "../parts/mount";

afterEach(() => {
  unmount();
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
  return mount(<ResultView outcome={outcome} runs={[]} measurement={measurement} tube="t" kept={kept} />).text();
}

describe("what a result says of itself", () => {
  it("names the largest part and the two acts that would help most", () => {
    const text = said(one);
    expect(text).toMatch(/The largest part is filling the water: ± 1\.\d points by itself\./);
    expect(text).toMatch(
      /A tube with steps half as large would make it ± 1\.\d %\. One more run would make it ± 1\.\d %\./,
    );
  });

  it("does not send a kept test back to the tube", () => {
    expect(said(one, true)).not.toContain("would make it");
    expect(said(one, true)).toContain("The largest part is");
  });

  // 84.86 % at 0 °C and 84.00 % at 20 °C, by hand from OIML R 22: 0.43 points for ten degrees.
  it("says what a guessed temperature is worth, in the unit of the settings", () => {
    expect(said(one)).not.toContain("guess");
    const guessed = { ...one, temperature_measured: false };
    expect(said(guessed)).toContain("10 °C more in the tube would change the content by −0.4 points");
    settings.value = { ...settings.value, temperature_unit: "F" };
    expect(said(guessed)).toContain("18 °F more in the tube would change the content by −0.4 points");
    const brine = { ...guessed, tube: { ...one.tube, liquid: "brine" as const }, runs: [{ ...run, line: 63 }] };
    expect(said(brine)).not.toContain("guess");
  });

  it("warns of a lower layer that dissolves fuel, and of a content above every specification", () => {
    const strong = { ...one, runs: [{ ...run, water: 40, fuel: 60, line: 88 }] };
    expect(said(strong)).toContain("more than half ethanol");
    expect(said(one)).not.toContain("more than half ethanol");
    const linear = { ...one, tube: { ...one.tube, scale: "linear" as const } };
    expect(said({ ...linear, runs: [{ ...run, line: null, percent: 88 }] })).toContain(
      "above what every specification",
    );
  });

  // 84.38 ± 1.88 %: a normal distribution has 25.9 % at or above 85 (Python's statistics.NormalDist).
  it("says what it means for one's own minimum and specification", () => {
    settings.value = { ...settings.value, own_minimum: 85, specification: "en_15293" };
    expect(said(one)).toContain("at or above your minimum of 85 % with a probability of 26 %");
    expect(said(one)).toContain("cannot be told: a limit lies within the uncertainty");
    settings.value = { ...settings.value, own_minimum: null, specification: "astm_d5798_15" };
    expect(said({ ...one, runs: [{ ...run, line: 80 }] })).toMatch(/Within what ASTM D5798-15/);
    expect(said({ ...one, runs: [{ ...run, line: 92 }] })).toMatch(/Above what ASTM D5798-15/);
  });

  it("advises nothing before contradicting runs are repeated", () => {
    const text = said({ ...one, runs: [run, { ...run, line: 84 }] });
    expect(text).toContain("Run a third");
    expect(text).not.toContain("would make it");
  });
});

describe("a result on a per cent scale", () => {
  const linkOf = (measurement: Measurement) => {
    const outcome = { result: result(measurement), problems: null };
    const view = <ResultView outcome={outcome} runs={[]} measurement={measurement} tube="a-tube" kept={false} />;
    return mount(view).root.querySelector('a[href="#/tubes/a-tube/scale"]')?.textContent;
  };
  const percent = (scale: "linear" | "unknown", reading: number): Measurement => ({
    ...one,
    tube: { ...one.tube, scale },
    runs: [{ ...run, line: null, percent: reading }],
  });

  it("leads to the check of the scale while its kind is not known, or gives more than any fuel has", () => {
    expect(linkOf(percent("unknown", 78))).toBe("Check its scale");
    unmount();
    expect(linkOf(percent("linear", 93))).toBe("Check its scale");
    unmount();
    expect(linkOf(percent("linear", 78))).toBeUndefined();
    unmount();
    expect(linkOf(one)).toBeUndefined();
  });
});
