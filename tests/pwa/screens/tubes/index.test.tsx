// @vitest-environment happy-dom
// The pages of a tube as a user goes through them; computed values are checked against outside figures elsewhere.
import { result } from "@/chemistry/budget";
import type { TubeRow } from "@/rows/tube";
import { recordOf } from "@/rows/tube";
import TubesScreen from "@/screens/tubes";
import { path } from "@/state/signals";
import { addSource } from "@/store/sources";
import { readTest, saveTest } from "@/store/tests";
import { addTube, readTube, saveWeighing, type TubeEntry } from "@/store/tubes";
import { entry, keeping, NOW, tubeRow } from "../../helpers/examples";
import { act, type Mounted, mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

const tubeEntry = (change: Partial<TubeEntry> = {}): TubeEntry => {
  const { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark } = tubeRow({ scale: "unknown" });
  return { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark, ...change };
};

/** Opens a page of the app and waits for `text`. */
async function open(address: string[], text: string): Promise<Mounted> {
  const page = mount(<TubesScreen path={address} />);
  await shows(page, text);
  return page;
}

async function shows(page: Mounted, text: string): Promise<void> {
  await soon(() => expect(page.text()).toContain(text));
}

function enter(page: Mounted, label: string, value: string): void {
  const found = [...page.root.querySelectorAll("label")].find((one) => one.textContent?.startsWith(label));
  const input = page.root.querySelector(`[id="${found?.getAttribute("for")}"]`) as HTMLInputElement | null;
  if (!input) throw new Error(`no field "${label}"`);
  act(() => {
    input.value = value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

const press = (page: Mounted, name: string) => act(() => page.button(name).click());

/** A saved test at 78 % on the scale, with figures for the tube as it is. */
async function testIn(tube: TubeRow): Promise<string> {
  const source = await addSource(entry(), true, NOW);
  const run = { water: 50, fuel: 50, line: null, percent: 78, top: null };
  const wanted = keeping(source, { tube: recordOf(tube), runs: [run] });
  const { content, expanded_uncertainty } = result(wanted.test);
  const kept = await saveTest({ ...wanted, test: { ...wanted.test, content, expanded_uncertainty } }, NOW);
  return kept.id;
}

describe("the page of a tube", () => {
  it("says what is unknown and where to find out", async () => {
    const { id } = await addTube(tubeEntry(), NOW);
    const page = await open(["tubes", id], "None of your saved tests was made in it.");
    expect(page.text()).toContain("every result is a range");
    const links = [...page.root.querySelectorAll("a")].map((link) => link.getAttribute("href"));
    expect(links).toEqual(["#/tubes", ..."scale,weigh,sample,edit".split(",").map((what) => `#/tubes/${id}/${what}`)]);
  });

  it("offers no scale check for a scale in millilitres", async () => {
    const { id } = await addTube(tubeEntry({ scale: "volume" }), NOW);
    const page = await open(["tubes", id], "Weigh its marks");
    expect(page.text()).not.toContain("Check its scale");
    unmount();
    await open(["tubes", id, "scale"], "Only a per cent scale");
  });

  it("says so when the tube is not on this phone", async () => {
    await open(["tubes", "0195a000-0000-7000-8000-000000000000"], "This tube is not on this phone.");
  });

  it("keeps calibration data when the tube is edited", async () => {
    const { id } = await addTube(tubeEntry({ scale: "volume" }), NOW);
    const mark = {
      nominal: 50,
      true: 49.7,
      mass: 49.6,
      temperature: 20,
      resolution: 0.1,
      weighed_at: NOW.toISOString(),
    };
    await saveWeighing(id, mark);
    const page = await open(["tubes", id, "edit"], "Smallest step of the scale");
    enter(page, "Smallest step of the scale", "0.5");
    press(page, "Save this tube");
    await soon(async () => expect((await readTube(id))?.graduation).toBe(0.5));
    expect(await readTube(id)).toMatchObject({ calibration: [mark], scale: "volume" });
    await soon(() => expect(path.value).toEqual(["tubes", id]));
  });
});

describe("the check of a scale", () => {
  it("needs three marks, then names the kind, which the tube gets when accepted", async () => {
    const { id } = await addTube(tubeEntry(), NOW);
    const page = await open(["tubes", id, "scale"], "Water mark at");
    enter(page, "Water mark at", "40");
    enter(page, "Fuel mark at", "190");
    enter(page, "Height of mark 1", "70");
    enter(page, "Height of mark 2", "115");
    expect(page.text()).not.toContain("evenly spaced.");
    enter(page, "Height of mark 3", "160");
    expect(page.text()).toContain("The scale is evenly spaced.");
    expect(page.text()).toMatch(/Evenly spaced0\.0 mmCorrected for shrinkage6\.\d mm/);
    press(page, "Set it to evenly spaced");
    await soon(async () => expect((await readTube(id))?.scale).toBe("linear"));
    expect((await readTube(id))?.scale_checks[0]?.marks).toHaveLength(3);
  });

  it("reports impossible heights, and offers nothing to accept if undecided", async () => {
    const { id } = await addTube(tubeEntry(), NOW);
    const page = await open(["tubes", id, "scale"], "Water mark at");
    for (const [label, value] of [
      ["Water mark at", "40"],
      ["Fuel mark at", "190"],
      ["Height of mark 1", "115"],
      ["Height of mark 2", "70"],
      ["Height of mark 3", "160"],
    ] as const) {
      enter(page, label, value);
    }
    expect(page.root.querySelector(".fault")?.textContent).toContain("must be higher up");
    enter(page, "Height of mark 1", "60");
    enter(page, "Height of mark 2", "90");
    expect(page.text()).toContain("The heights do not settle it.");
    expect(page.text()).not.toContain("Set it to");
    press(page, "Save the heights");
    await soon(async () => expect((await readTube(id))?.scale_checks).toHaveLength(1));
    expect((await readTube(id))?.scale).toBe("unknown");
  });
});

describe("weighing the marks", () => {
  it("shows the volume of each mark, saves it and goes on to the next", async () => {
    const { id } = await addTube(tubeEntry({ scale: "volume" }), NOW);
    const page = await open(["tubes", id, "weigh"], "Mass of the water");
    enter(page, "Water temperature", "20");
    enter(page, "Mass of the water", "49.3");
    expect(page.text()).toContain("This mark holds 49.4 ± 0.1 mL. That is −0.6 ± 0.1 mL from the printed value.");
    press(page, "Save this mark");
    await shows(page, "Mark 50 mL: 49.4 ± 0.1 mL");
    expect(page.text()).toContain("One mark alone shifts the whole scale.");
    enter(page, "Mass of the water", "99.2");
    press(page, "Save this mark");
    await shows(page, "Mark 100 mL: 99.4 ± 0.2 mL");
    expect(page.text()).not.toContain("One mark alone");
    expect((await readTube(id))?.calibration.map((mark) => mark.nominal)).toEqual([50, 100]);
    press(page, "Remove, the mark 50\u00a0mL");
    await soon(async () => expect((await readTube(id))?.calibration).toHaveLength(1));
  });

  it("saves no impossible value", async () => {
    const { id } = await addTube(tubeEntry({ scale: "volume" }), NOW);
    const page = await open(["tubes", id, "weigh"], "Mass of the water");
    enter(page, "Water temperature", "20");
    enter(page, "Mass of the water", "92");
    expect(page.text()).toContain("No tube is that far off; 5.0 mL is the most possible.");
    expect(page.button("Save this mark").getAttribute("aria-disabled")).toBe("true");
  });
});

describe("a known sample", () => {
  it("first asks for the kind of scale and for a test", async () => {
    const unknown = await addTube(tubeEntry(), NOW);
    await open(["tubes", unknown.id, "sample"], "First find out what this tube's scale means.");
    unmount();
    const known = await addTube(tubeEntry({ scale: "linear" }), NOW);
    await open(["tubes", known.id, "sample"], "No test in this tube is saved yet.");
  });

  it("gives the offset, which can be accepted or dropped", async () => {
    const tube = await addTube(tubeEntry({ scale: "linear" }), NOW);
    const test = await testIn(tube);
    const page = await open(["tubes", tube.id, "sample"], "The test of the known fuel");
    enter(page, "Its known content", "84.5");
    expect(page.text()).not.toContain("This tube found");
    enter(page, "Uncertainty ±", "0.5");
    // 82.987 ± 1.113 % by the command line, so 1.513 ± 1.220 points.
    expect(page.text()).toContain("83.0 ± 1.1 %");
    expect(page.text()).toContain("1.5 ± 1.2 points too low");
    enter(page, "Its known content", "83.5");
    expect(page.text()).toContain("Both uncertainties together explain this difference.");
    enter(page, "Its known content", "80.5");
    expect(page.text()).toContain("2.5 ± 1.2 points too high");
    expect(page.text()).toContain("More than both uncertainties explain");
    press(page, "Use this offset");
    await shows(page, "The tube has an offset of −2.5 ± 1.2 points now.");
    const known = { test, known: 80.5, known_uncertainty: 0.5 };
    expect(await readTube(tube.id)).toMatchObject({ sample: known, offset_content: 80.5 });
    press(page, "Remove this tube's offset");
    await soon(async () => expect(await readTube(tube.id)).toMatchObject({ sample: null, offset: 0 }));
  });
});

describe("tests made before a tube was known", () => {
  it("can be recomputed on request, with the largest change shown first", async () => {
    const tube = await addTube(tubeEntry(), NOW);
    const test = await testIn(tube);
    await open(["tubes", tube.id], "1 test, calculated with what is known now.");
    unmount();
    const edit = await open(["tubes", tube.id, "edit"], "What is printed on the tube?");
    const even = [...edit.root.querySelectorAll("input[type=radio]")].find(
      (one) => (one as HTMLInputElement).value === "linear",
    );
    act(() => (even as HTMLInputElement).click());
    press(edit, "Save this tube");
    await soon(async () => expect((await readTube(tube.id))?.scale).toBe("linear"));
    unmount();
    const after = await open(["tubes", tube.id], "1 of 1 test would change with what is known now.");
    expect(after.text()).toContain("The largest change is +3.1 points: 79.9 ± 4.0 % becomes 83.0 ± 1.1 %.");
    expect(after.text()).toContain("Shared among them: 1; a new revision of each is sent.");
    expect((await readTest(test))?.test.revision).toBe(1);
    press(after, "Recalculate 1 test");
    await shows(after, "1 test recalculated.");
    await shows(after, "1 test, calculated with what is known now.");
    expect((await readTest(test))?.test).toMatchObject({ revision: 2, tube: { scale: "linear" } });
  });
});
