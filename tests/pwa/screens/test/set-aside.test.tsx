// @vitest-environment happy-dom
// Contradicting runs: never said to agree, the uncertainty is explained, the odd one can be set aside with a reason.
import { result } from "@/chemistry/budget";
import type { Measurement, Run } from "@/chemistry/measurement";
import { EMPTY_RUN, withRun } from "@/model/progress";
import type { Draft } from "@/rows/draft";
import { grownOf } from "@/screens/shared/result/contradiction";
import { oddRun } from "@/screens/test/odd-run";
import { withAside } from "@/screens/test/run-entry";
import { SheetEnd } from "@/screens/test/sheet-end";
import { newDraft } from "@/store/drafts";
import { DEFAULTS } from "@/store/settings";
import { NOW, tubeRow } from "../../helpers/examples";
import { act, mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

const tube = tubeRow();

function measured(...lines: number[]): Measurement {
  const runs = lines.map((line): Run => ({ water: 50, fuel: 50, line, percent: null, top: null }));
  return { tube, runs, temperature: 20, temperature_measured: true, fuel_water: 0.5 };
}

function aside(measurement: Measurement, at: number): Measurement {
  const runs = measurement.runs.map((run, index) => (index === at ? { ...run, set_aside: "misread" } : run));
  return { ...measurement, runs };
}

describe("the odd run", () => {
  it("is the one without which the others agree", () => {
    expect(oddRun(measured(88.5, 84, 88.3))).toBe(1);
    expect(oddRun(measured(84, 88.5, 88.3, 88.4))).toBe(0);
  });

  it("is undecided if it could be either, if there are two, or if only half of the runs would remain", () => {
    expect(oddRun(measured(80, 84, 88))).toBeNull();
    expect(oddRun(measured(80, 84, 88.3, 88.4))).toBeNull();
    expect(oddRun(measured(84, 88.5))).toBeNull();
    expect(oddRun(aside(measured(84, 88.5, 84.2), 0))).toBeNull();
    expect(oddRun(aside(measured(80, 88.5, 88.3, 84), 0))).toBeNull();
  });

  it("no longer counts or adds uncertainty once set aside", () => {
    const three = measured(88.5, 84, 88.3);
    const two = result(measured(88.5, 88.3));
    expect(result(aside(three, 1))).toEqual(two);
    const grown = grownOf(result(three));
    expect(grown?.apart).toBeCloseTo(9.1, 1);
    expect(result(three).expanded_uncertainty).toBeGreaterThan(2 * (grown?.without ?? Infinity));
    // Three runs that agree have a slightly smaller ± than two.
    expect(grown?.without).toBeGreaterThan(0.8 * two.expanded_uncertainty);
    expect(grown?.without).toBeLessThan(two.expanded_uncertainty);
    expect(grownOf(two)).toBeNull();
  });

  it("counts again once it is read or filled again", () => {
    const runs = withAside([{ ...EMPTY_RUN, water: 50, fuel: 50, line: 84 }], 0, "misread");
    expect(runs[0]?.set_aside).toBe("misread");
    expect(withRun(runs, 0, { top: 99 })[0]?.set_aside).toBe("misread");
    expect(withRun(runs, 0, { line: 88 })[0]).not.toHaveProperty("set_aside");
    expect(withRun(runs, 0, { water: 51 })[0]).not.toHaveProperty("set_aside");
    expect(withAside(runs, 0, "")[0]).not.toHaveProperty("set_aside");
  });
});

/** The end of a complete sheet, and what it changes. */
function sheetEnd(...lines: number[]) {
  const runs = lines.map((line) => ({
    ...EMPTY_RUN,
    water: 50,
    fuel: 50,
    shaken: true,
    confirmed: true,
    settle_until: 1,
    line,
  }));
  const begun = { source: "s", sampled: "pump" as const, tube: tube.id, temperature: 20, cautions_read: true };
  let draft: Draft = { ...newDraft(DEFAULTS, NOW), ...begun, runs };
  const part = () => (
    <SheetEnd
      draft={draft}
      tubes={[tube]}
      figures={null}
      full
      change={(next) => {
        draft = { ...draft, ...(typeof next === "function" ? next(draft) : next) };
      }}
      saved={() => Promise.resolve()}
      onRun={() => undefined}
      onSaved={() => undefined}
    />
  );
  const page = mount(part());
  const tap = async (name: string) => {
    await act(() => page.button(name).click());
    page.again(part());
  };
  return { page, tap };
}

test("differing runs are never said to agree, and the ± explains its size", () => {
  for (const lines of [
    [88.5, 84],
    [88.5, 84, 88.3],
    [80, 84, 88],
  ]) {
    const { page } = sheetEnd(...lines);
    expect(page.text()).toMatch(/runs differ/);
    expect(page.text()).not.toMatch(/runs( that count)? agree\./);
    expect(page.text()).toMatch(/The runs are \d+\.\d points apart, so the ± is \d+\.\d points/);
    unmount();
  }
  expect(sheetEnd(88.5, 88.3).page.text()).toContain("The runs agree.");
});

test("the odd run is set aside with a reason and can be restored", async () => {
  const { page, tap } = sheetEnd(88.5, 84, 88.3);
  await soon(() => expect(page.text()).toContain("Without run 2 the others agree."));
  await tap("Set run 2 aside");
  expect(page.text()).toContain("Say what went wrong with this run first.");
  const field = page.root.querySelector<HTMLInputElement>("section[aria-label='The odd run'] input");
  await act(() => {
    if (field) field.value = "  milky line ";
    field?.dispatchEvent(new Event("input", { bubbles: true }));
  });
  await tap("Set run 2 aside");
  expect(page.text()).toContain("Run 2 is set aside: milky line. It stays in the test but does not count.");
  expect(page.text()).toContain("Run 2, set aside: milky line");
  expect(page.text()).toContain("The runs that count agree.");
  expect(page.text()).not.toContain("runs differ");
  await tap("Count run 2 again");
  expect(page.text()).toContain("runs differ");
});
