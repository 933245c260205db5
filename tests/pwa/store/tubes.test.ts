import { openDB } from "idb";
import type { HeightCheck, KnownSample, WeighedMark } from "@/rows/tube";
import { loadDraft, newDraft, SHEET } from "@/store/drafts";
import { DATABASE, run } from "@/store/open";
import { DEFAULTS } from "@/store/settings";
import { STEPS } from "@/store/steps";
import { readTest } from "@/store/tests";
import {
  addTube,
  dropOffset,
  dropWeighing,
  editTube,
  listTubes,
  putAway,
  readTube,
  saveScaleCheck,
  saveWeighing,
  takeOffset,
} from "@/store/tubes";
import { keeping, NOW, tubeRow } from "../helpers/examples";

/** A time some minutes later. */
const later = (minutes: number) => new Date(NOW.getTime() + minutes * 60_000);
const at = (minutes: number) => later(minutes).toISOString();

const entry = () => {
  const { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark } = tubeRow({ scale: "unknown" });
  return { name, scale, graduation, liquid, tolerance, water_mark, fuel_mark };
};

const mark: WeighedMark = {
  nominal: 50,
  true: 49.7,
  mass: 49.6,
  temperature: 20,
  resolution: 0.1,
  weighed_at: at(1),
};

const check: HeightCheck = {
  kind: "linear",
  linear_misfit: 0.002,
  corrected_misfit: 0.04,
  water_height: 40,
  fuel_height: 140,
  marks: [20, 50, 80].map((percent) => ({ percent, height: 40 + percent })),
  checked_at: at(2),
};

const sample: KnownSample = {
  test: "0195a000-0000-7000-8000-000000000000",
  known: 85,
  known_uncertainty: 0.5,
  measured: 82.8,
  measured_uncertainty: 1.9,
  taken_at: at(3),
};

async function history(id: string) {
  return (await readTube(id))?.history.map(({ at, what }) => [at, what]);
}

describe("the data of a tube", () => {
  test("is dated and kept when the tube is edited", async () => {
    const { id } = await addTube(entry(), NOW);
    await saveWeighing(id, mark);
    await saveScaleCheck(id, check, true);
    await takeOffset(id, sample, 2.2, 1.96);
    await editTube(id, { ...entry(), scale: "linear", name: "the short one", graduation: 0.5 }, later(4));
    expect(await readTube(id)).toMatchObject({
      name: "the short one",
      scale: "linear",
      graduation: 0.5,
      calibration: [mark],
      scale_checks: [check],
      offset: 2.2,
      offset_uncertainty: 1.96,
      offset_content: sample.known,
      sample,
    });
    expect(await history(id)).toEqual([
      [at(1), "weighed"],
      [at(2), "scale_checked"],
      [at(2), "scale"],
      [at(3), "offset_taken"],
      [at(4), "graduation"],
    ]);
  });

  test("a mark weighed again replaces the first weighing, which stays in the history", async () => {
    const { id } = await addTube(entry(), NOW);
    await saveWeighing(id, { ...mark, nominal: 100, true: 99.5 });
    await saveWeighing(id, { ...mark, weighed_at: at(2) });
    await saveWeighing(id, { ...mark, true: 49.8, weighed_at: at(3) });
    const row = await readTube(id);
    expect(row?.calibration.map((one) => [one.nominal, one.true])).toEqual([
      [50, 49.8],
      [100, 99.5],
    ]);
    expect(row?.history.map((one) => "mark" in one && one.mark.true)).toEqual([99.5, 49.7, 49.8]);
    await dropWeighing(id, 50, later(4));
    expect((await readTube(id))?.calibration.map((one) => one.nominal)).toEqual([100]);
    expect((await readTube(id))?.history.at(-1)).toMatchObject({ what: "weighing_dropped", mark: { true: 49.8 } });
  });

  test("a scale check changes the scale only if it is decided and accepted", async () => {
    const { id } = await addTube(entry(), NOW);
    await saveScaleCheck(id, check, false);
    await saveScaleCheck(id, { ...check, kind: "cannot_tell", checked_at: at(5) }, true);
    expect(await readTube(id)).toMatchObject({ scale: "unknown", scale_checks: [{}, { kind: "cannot_tell" }] });
    await saveScaleCheck(id, { ...check, kind: "corrected", checked_at: at(6) }, true);
    expect((await readTube(id))?.scale).toBe("corrected");
    expect((await readTube(id))?.history.at(-1)).toEqual({
      at: at(6),
      what: "scale",
      before: "unknown",
      after: "corrected",
    });
  });

  test("a dropped offset leaves the results but stays in the history", async () => {
    const { id } = await addTube(entry(), NOW);
    await dropOffset(id, later(1));
    await takeOffset(id, sample, 2.2, 1.96);
    await dropOffset(id, later(4));
    expect(await readTube(id)).toMatchObject({ offset: 0, offset_uncertainty: 0, offset_content: null, sample: null });
    expect((await readTube(id))?.history).toEqual([
      { at: at(3), what: "offset_taken", sample, offset: 2.2, offset_uncertainty: 1.96 },
      { at: at(4), what: "offset_dropped", sample, offset: 2.2, offset_uncertainty: 1.96 },
    ]);
  });

  test("a repeated action, as after a lost connection, counts once", async () => {
    const { id } = await addTube(entry(), NOW);
    await saveScaleCheck(id, check, true);
    await saveScaleCheck(id, check, true);
    expect((await readTube(id))?.scale_checks).toHaveLength(1);
    expect(await history(id)).toHaveLength(2);
  });

  test("retiring a tube moves it to the end and changes no data", async () => {
    const first = await addTube(entry(), NOW);
    const second = await addTube(entry(), later(1));
    await putAway(first.id, true);
    expect((await listTubes()).map((row) => row.id)).toEqual([second.id, first.id]);
    expect(await history(first.id)).toEqual([]);
  });
});

describe("a phone with data of the first version", () => {
  const oldTube = {
    id: "0195a000-0000-7000-8000-000000000001",
    name: "100 mL tube",
    scale: "linear",
    graduation: 1,
    liquid: "water",
    tolerance: 0.5,
    water_mark: 50,
    fuel_mark: 100,
    made_at: "2026-01-01T00:00:00Z",
    put_away: false,
  };
  const oldRun = { water: 50, fuel: 50, line: null, percent: 77, top: null };
  const described = { id: oldTube.id, scale: "linear", graduation: 1, liquid: "water", tolerance: 0.5 };

  /** Rows of the first version, in a database with its schema. */
  async function firstVersion() {
    const base = await openDB(DATABASE, 1, {
      upgrade: (opened, _from, _to, transaction) => STEPS[0]?.(opened as never, transaction as never),
    });
    await base.put("tubes", oldTube);
    const test = { ...keeping("s").test, id: oldTube.id, tube: described, runs: [oldRun] };
    await base.put("own_tests", { id: test.id, source: "s", test, earlier: [], retracted: false });
    const draft = { ...newDraft(DEFAULTS, NOW), runs: [{ ...oldRun, shaken: true, settle_until: 1 }] };
    await base.put("drafts", draft, SHEET);
    base.close();
  }

  test("keeps its tubes and draft, and finds the tests of a tube", async () => {
    await firstVersion();
    expect(await readTube(oldTube.id)).toEqual({
      ...oldTube,
      calibration: [],
      offset: 0,
      offset_uncertainty: 0,
      offset_content: null,
      sample: null,
      scale_checks: [],
      history: [],
    });
    expect((await loadDraft())?.runs[0]).toMatchObject({ ...oldRun, line_half_width: null, marks: null });
    expect((await readTest(oldTube.id))?.test.tube).toEqual(described);
    expect(await run((base) => base.getAllKeysFromIndex("own_tests", "by_tube", oldTube.id))).toEqual([oldTube.id]);
  });
});

test("a second tube with the same name gets a number", async () => {
  const names = [];
  for (let made = 0; made < 3; made += 1) names.push((await addTube(tubeRow({ name: "100 mL tube" }), NOW)).name);
  expect(names).toEqual(["100 mL tube", "100 mL tube 2", "100 mL tube 3"]);
});
