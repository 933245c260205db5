// The run sheet's logic: what is complete, what comes next, and the result.
import { labels } from "@/i18n";
import {
  besideOf,
  EMPTY_RUN,
  fillOf,
  firstOpen,
  highestTop,
  readable,
  type StageKey,
  stagesOf,
  withRun,
} from "@/model/progress";
import type { Draft, DraftRun } from "@/rows/draft";
import { recordOf } from "@/rows/tube";
import { eachAlone, furtherRun, measurementOf, outcomeOf, sealedTest } from "@/screens/shared/result/outcome";
import { tubeRow } from "../../../helpers/examples";

const NOW = Date.parse("2026-03-12T10:00:00Z");

const tube = tubeRow();

const empty: Draft = {
  id: "018f0000-0000-7000-8000-000000000002",
  started_at: "2026-03-12T09:40:00.000Z",
  source: null,
  sampled: null,
  sampled_at: null,
  tube: null,
  temperature: null,
  temperature_measured: false,
  fuel_water: 0,
  settle_minutes: 10,
  runs: [],
  note: "",
  photos: [],
  shared: true,
  cautions_read: false,
};

const begun: Draft = { ...empty, source: "s", sampled: "pump", tube: tube.id, temperature: 20, cautions_read: true };

function run(line: number): DraftRun {
  return { ...EMPTY_RUN, water: 50, fuel: 50, shaken: true, confirmed: true, settle_until: NOW - 1, line };
}

test("an unconfirmed line is not a reading, and a changed one must be confirmed again", () => {
  const entered = { ...begun, runs: [{ ...run(88.5), confirmed: false }] };
  expect(firstOpen(entered, NOW)).toBe("line0");
  expect(outcomeOf(entered, [tube])).toBeNull();
  expect(withRun([run(88.5)], 0, { line: 88 })[0]?.confirmed).toBe(false);
  expect(withRun([run(88.5)], 0, { line: 88.5, top: 99 })[0]?.confirmed).toBe(true);
  // Drafts of an earlier version had no confirmation.
  const { confirmed: _, ...earlier } = run(88.5);
  expect(outcomeOf({ ...begun, runs: [earlier] }, [tube])).not.toBeNull();
});

describe("the stages of a sheet", () => {
  it("follow each other as the sheet is filled in", () => {
    const steps: [Partial<Draft>, string | undefined][] = [
      [{}, "source"],
      [{ source: "s" }, "source"],
      [{ source: "s", sampled: "can" }, "tube"],
      [{ ...begun, temperature: null }, "tube"],
      [{ ...begun, temperature: null, water_temperature: 20, cautions_read: false }, "before"],
      [{ ...begun, cautions_read: false }, "before"],
      [begun, "fill0"],
      [{ ...begun, runs: withRun([], 0, { water: 50, fuel: 50 }) }, "shake0"],
      [{ ...begun, runs: withRun([], 0, { water: 50, fuel: 50, shaken: true }) }, "settle0"],
      [{ ...begun, runs: [{ ...run(88), line: null, settle_until: NOW + 1 }] }, "settle0"],
      [{ ...begun, runs: [{ ...run(88), line: null, settle_until: NOW }] }, "line0"],
      [{ ...begun, runs: [run(88)] }, undefined],
      [{ ...begun, runs: [run(88), EMPTY_RUN] }, "fill1"],
    ];
    for (const [draft, stage] of steps) expect(firstOpen({ ...empty, ...draft }, NOW)).toBe(stage);
  });

  it("continue with other work while tubes settle, and stay with the current run", () => {
    const settling = (left: number): DraftRun => ({ ...run(88), line: null, settle_until: NOW + left });
    const filled: DraftRun = { ...EMPTY_RUN, water: 50, fuel: 50 };
    const steps: [DraftRun[], StageKey | undefined, string | undefined][] = [
      [[settling(5), EMPTY_RUN], undefined, "fill1"],
      [[settling(5), filled], "fill1", "shake1"],
      [[settling(-5), filled], "fill1", "shake1"],
      [[settling(-5), filled], undefined, "line0"],
      [[settling(5), settling(9)], "shake1", "settle0"],
      [[settling(9), settling(5)], "shake1", "settle1"],
      [[settling(9), settling(-5)], "line0", "line1"],
      [[run(88), settling(9)], "line0", "settle1"],
      [[run(88), run(88)], "line1", undefined],
    ];
    for (const [runs, after, next] of steps) expect(firstOpen({ ...begun, runs }, NOW, after)).toBe(next);
  });

  it("offer a second tube only if the first has no calibration of its own", () => {
    const draft = { ...begun, runs: [{ ...run(88), line: null, settle_until: NOW + 1 }] };
    expect(besideOf(draft, tube, 0)).toBe(2);
    expect(besideOf({ ...draft, runs: [...draft.runs, EMPTY_RUN] }, tube, 0)).toBe(null);
    expect(besideOf(draft, { ...tube, offset: 0.4 }, 0)).toBe(null);
  });

  it("number four per run, and there is always one run", () => {
    expect(stagesOf(empty)).toHaveLength(3 + 4);
    expect(stagesOf({ ...empty, runs: [run(88), run(88)] })).toHaveLength(3 + 8);
  });

  it("take volumes from graduations, and accept only possible lines", () => {
    expect(fillOf(50.2, 100.1)).toEqual({ water: 50.2, fuel: 49.9 });
    expect(readable(tube, { ...EMPTY_RUN, ...fillOf(49, 101) })).toEqual({ low: 49, high: 101, below: 49 / 101 });
    expect(readable({ ...tube, scale: "linear" }, EMPTY_RUN)).toMatchObject({ low: 0, high: 100 });
    expect(highestTop(tube, EMPTY_RUN)).toBe(105);
  });
});

describe("the result of a sheet", () => {
  it("is missing before the first reading", () => {
    expect(outcomeOf(begun, [tube])).toBeNull();
    expect(outcomeOf({ ...begun, runs: [EMPTY_RUN] }, [tube])).toBeNull();
  });

  // 84.00 at 20 degrees and 84.86 at 0 degrees: by hand from OIML R 22, dry fuel, 50 mL + 50 mL, line at 88.8. From
  // this the exchange is subtracted: by its table 80 % reads as 80.8 and 85 % as 86.0, so 83.08 and 83.90.
  it("is the content by OIML R 22 less the exchange correction", () => {
    const at = (temperature: number) =>
      outcomeOf({ ...begun, temperature, runs: [run(88.8)] }, [tube])?.result?.content;
    expect(Math.abs((at(20) ?? 0) - 83.08)).toBeLessThan(0.02);
    expect(Math.abs((at(0) ?? 0) - 83.9)).toBeLessThan(0.02);
  });

  // Marks that are half a millilitre low: the same as `splitline content --water 49.5 --fuel 50 --line 88.3
  // --temperature 20 --fuel-water 0` before the exchange is subtracted: the offset already includes it.
  it("uses the tube's calibration and shows each step", () => {
    const weighed = { mass: 0, temperature: 20, resolution: 0.1, weighed_at: "2026-03-01T00:00:00Z" };
    const calibration = [50, 100].map((nominal) => ({ nominal, true: nominal - 0.5, ...weighed }));
    const known = { ...tube, calibration, offset: 2, offset_uncertainty: 1.5 };
    const found = outcomeOf({ ...begun, runs: [run(88.8)] }, [known])?.result;
    const plain = outcomeOf({ ...begun, runs: [run(88.8)] }, [tube])?.result;
    if (!found || !plain) throw new Error("no result");
    expect(found.content).toBeCloseTo(83.97138990563894 + 2, 9);
    expect(found.steps.map((step) => step.name)).toContain("calibration");
    expect(found.steps.find((step) => step.name === "tube_offset")?.change).toBeCloseTo(2, 9);
    expect(found.components.map((part) => part.name)).toContain("tube_offset");
    expect(found.shared_uncertainty).toBeCloseTo(Math.hypot(plain.shared_uncertainty, 1.5 / 1.96), 2);
    const { step, component } = labels.result;
    for (const { name } of found.steps) expect(step[name]).toBeDefined();
    for (const { name } of found.components) expect(component[name]).toBeDefined();
  });

  it("names the fault instead of giving a number", () => {
    const found = outcomeOf({ ...begun, runs: [run(49)] }, [tube]);
    expect(found?.result).toBeNull();
    expect(found?.problems?.map((problem) => problem.code)).toEqual(["line_below_water"]);
  });

  it("asks for a second run, and for a third if the two disagree", () => {
    const advice = (...lines: number[]) => {
      const found = outcomeOf({ ...begun, runs: lines.map(run) }, [tube])?.result;
      return found && furtherRun(found);
    };
    expect(advice(88.5)).toBe("second");
    expect(advice(88.5, 88)).toBe("enough");
    expect(advice(88.5, 84)).toBe("third");
    expect(advice(88.5, 84, 88.3)).toBe("differ");
  });

  it("becomes a record of the complete runs", () => {
    const draft = { ...begun, runs: [run(88.5), run(88), EMPTY_RUN], note: "  cold morning " };
    const found = outcomeOf(draft, [tube])?.result;
    if (!found) throw new Error("no result");
    const sealed = sealedTest(draft, [tube], found, new Date(NOW));
    expect(sealed).toMatchObject({ id: draft.id, revision: 1, note: "cold morning", content: found.content });
    expect(sealed?.runs.map((one) => one.line)).toEqual([88.5, 88]);
    expect(sealed?.tube).toEqual(recordOf(tube));
    expect(Date.parse(sealed?.tested_at ?? "")).toBe(NOW);
    expect(Date.parse(sealed?.sampled_at ?? "")).toBe(Date.parse(draft.started_at));
    expect(sealedTest({ ...draft, source: null }, [tube], found, new Date(NOW))).toBeNull();
  });

  it("records each run's tube and the model version", () => {
    const other = tubeRow({ name: "the short one", graduation: 0.5, water_mark: 25, fuel_mark: 50 });
    const second = { ...run(44), water: 25, fuel: 25, tube: other.id };
    const draft = { ...begun, runs: [run(88.5), second] };
    const found = outcomeOf(draft, [tube, other])?.result;
    if (!found) throw new Error("no result");
    const record = sealedTest(draft, [tube, other], found, new Date(NOW));
    expect(record?.model).toBe(2);
    expect(record?.tube).toEqual(recordOf(tube));
    expect(record?.runs.map((one) => one.tube)).toEqual([undefined, recordOf(other)]);
    expect(eachAlone(measurementOf(draft, [tube, other]))).toHaveLength(2);
    // Without the first run the second one's tube is the test's.
    const alone = sealedTest({ ...draft, runs: [second] }, [tube, other], found, new Date(NOW));
    expect(alone?.tube).toEqual(recordOf(other));
    expect(alone?.runs[0]).not.toHaveProperty("tube");
    expect(outcomeOf(draft, [tube])).toBeNull();
  });
});
