// A known sample. Outside reference: JCGM 100: the uncertainty of a difference of independent values is the root sum
// of squares.
import { result } from "@/chemistry/budget";
import { isOld, lacksContent, sampleFound } from "@/model/sample";
import type { SealedTest } from "@/rows/test";
import { recordOf, type TubeChange, type TubeRow } from "@/rows/tube";
import { NOW, sealed, tubeRow } from "../helpers/examples";

function foundIn(row: TubeRow, test: SealedTest, known: number, uncertainty: number) {
  const found = sampleFound(row, test, known, uncertainty, NOW);
  if (!("offset" in found)) throw new Error(found.problems.map((one) => one.code).join());
  return found;
}

describe("a known sample", () => {
  const row = tubeRow();
  const test = sealed("s", { tube: recordOf(row) });
  const measured = result(test);

  it("gives the tube's error with both uncertainties", () => {
    const { sample, offset, problems } = foundIn(row, test, measured.content + 3, 0.5);
    expect(offset.offset).toBeCloseTo(3, 12);
    expect(offset.expanded_uncertainty).toBeCloseTo(Math.hypot(measured.expanded_uncertainty, 0.5), 12);
    expect(offset.significant).toBe(true);
    expect(sample).toMatchObject({ test: test.id, known_uncertainty: 0.5, measured: measured.content });
    expect(problems).toEqual([]);
  });

  it("is not significant if both uncertainties explain the difference", () => {
    expect(foundIn(row, test, measured.content - 1, 0.5).offset.significant).toBe(false);
  });

  it("ignores the present offset, so that it counts once", () => {
    const corrected: TubeRow = { ...row, offset: 2, offset_uncertainty: 1.5 };
    const again = foundIn(corrected, { ...test, tube: recordOf(corrected) }, measured.content + 3, 0.5);
    expect(again.offset).toEqual(foundIn(row, test, measured.content + 3, 0.5).offset);
  });

  it("computes the test with what is known of the tube now, not when it was made", () => {
    const run = { water: 50, fuel: 50, line: null, percent: 78, top: null };
    const old = sealed("s", { tube: recordOf({ ...row, scale: "unknown" }), runs: [run] });
    const now: TubeRow = { ...row, scale: "linear" };
    expect(foundIn(now, old, 85, 0.5).sample.measured).toBeCloseTo(result({ ...old, tube: now }).content, 12);
  });

  it("counts only the runs that were made in this tube", () => {
    const [run] = test.runs;
    if (!run) throw new Error("no run");
    const both = { ...test, runs: [run, { ...run, line: 84, tube: recordOf(tubeRow({ graduation: 0.5 })) }] };
    expect(foundIn(row, both, 85, 0.5)).toEqual(foundIn(row, test, 85, 0.5));
  });

  it("is refused if the tube would be off by more than any real tube", () => {
    const { problems } = foundIn(row, test, measured.content - 16, 0.5);
    expect(problems.map((one) => one.code)).toEqual(["offset_range"]);
  });

  it("says why a test cannot be computed with the tube as it is now", () => {
    const found = sampleFound({ ...row, scale: "linear" }, test, 85, 0.5, NOW);
    expect(found.problems.map((one) => one.code)).toEqual(["line_kind"]);
    expect("offset" in found).toBe(false);
  });
});

describe("an offset", () => {
  const { sample } = foundIn(tubeRow(), sealed("s"), 85, 0.5);
  const change = (what: "scale" | "graduation", minutes: number) =>
    ({ at: new Date(NOW.getTime() + minutes * 60_000).toISOString(), what }) as TubeChange;

  it("is old once the tube was changed in a way that moves what it reads", () => {
    expect(isOld({ sample, history: [change("scale", -1), change("graduation", 1)] })).toBe(false);
    expect(isOld({ sample, history: [change("scale", 1)] })).toBe(true);
    expect(isOld({ sample: null, history: [change("scale", 1)] })).toBe(false);
  });

  it("predates the exchange correction if the sample's content was not recorded", () => {
    const row = tubeRow({ offset: 1.2, offset_uncertainty: 0.8 });
    expect(lacksContent(row)).toBe(true);
    expect(lacksContent({ ...row, offset_content: 85 })).toBe(false);
    expect(lacksContent({ ...row, liquid: "brine" })).toBe(false);
    expect(lacksContent(tubeRow())).toBe(false);
  });
});
