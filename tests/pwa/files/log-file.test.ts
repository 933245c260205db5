import { IDBFactory } from "fake-indexeddb";
import { computeHere } from "@/compute";
import { type LogFile, readLog, writeLog } from "@/files/log-file";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { close } from "@/store/open";
import { nextBatch, settle } from "@/store/outbox";
import { writeFact } from "@/store/settings";
import { addSource } from "@/store/sources";
import { type LogLine, listTests, retractTest, reviseTest, saveTest } from "@/store/tests";
import { exportLog, importLog } from "@/store/transfer";
import { addTube, listTubes, saveScaleCheck, saveWeighing, takeOffset } from "@/store/tubes";
import { entry, keeping, NOW, stored, tubeRow } from "../helpers/examples";

const WHO = { contributor: "00112233445566ff", secret: null };

/** The phone of the person who wrote the file. */
beforeEach(() => writeFact("identity", { secret: "00".repeat(32), contributor: WHO.contributor }));

/** A tube with all calibration data. */
async function knownTube(test: string) {
  const { id } = await addTube(tubeRow({ scale: "unknown" }), NOW);
  const at = (minutes: number) => new Date(NOW.getTime() + minutes * 60_000).toISOString();
  const mark = { nominal: 50, true: 49.7, mass: 49.6, temperature: 20, resolution: 0.1, weighed_at: at(1) };
  await saveWeighing(id, mark);
  const marks = [20, 50, 80].map((percent) => ({ percent, height: 40 + percent }));
  const kind = "linear" as const;
  const misfits = { linear_misfit: 0.001, corrected_misfit: 0.05 };
  await saveScaleCheck(id, { kind, ...misfits, water_height: 40, fuel_height: 140, marks, checked_at: at(2) }, true);
  const sample = { test, known: 85, known_uncertainty: 0.5, measured: 83, measured_uncertainty: 1.9, taken_at: at(3) };
  await takeOffset(id, sample, 2, 2);
}

/** A phone with one sent, one queued and one withdrawn test. */
async function filledPhone() {
  const source = await addSource(entry(), true, NOW);
  const sent = await saveTest(keeping(source), NOW);
  await knownTube(sent.id);
  const gone = await saveTest(keeping(source, { content: 20 }), new Date(NOW.getTime() + 1));
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await retractTest(gone.id);
  const second = await nextBatch();
  await settle(second, second.map(stored), NOW);
  const waiting = await saveTest(keeping(source, { note: "no signal" }), new Date(NOW.getTime() + 2));
  await reviseTest(waiting.id, { note: "still no signal" });
  return { source, sent, gone, waiting };
}

/** Another phone of the same person. */
async function newPhone() {
  close();
  globalThis.indexedDB = new IDBFactory();
  await writeFact("identity", { secret: "00".repeat(32), contributor: WHO.contributor });
}

async function throughFile(): Promise<LogFile> {
  const file = await readLog(writeLog(await exportLog(), WHO, NOW));
  if ("code" in file) throw new Error(`${file.code} ${file.where}`);
  return file;
}

/** Without the count of stale marks, which differs between phones. */
async function shownFigures() {
  return (await listFigures()).map(({ mark: _, ...row }) => row);
}

test("a log file carries tests and figures to a new phone, and unsent records wait for consent", async () => {
  const { source, sent, gone, waiting } = await filledPhone();
  const before = await listTests({ limit: 10 });
  await refreshFigures(NOW, computeHere);
  const figures = await shownFigures();
  const tubes = await listTubes();
  expect(tubes[0]).toMatchObject({ scale: "linear", offset: 2, calibration: [{ true: 49.7 }] });
  const file = await throughFile();
  await newPhone();
  expect(await importLog(file)).toMatchObject({ tests: 3, sources: 1, tubes: 1, known: 0 });
  await refreshFigures(NOW, computeHere);
  const [unsent, ...others] = (await listTests({ limit: 10 })).lines;
  expect(others).toEqual(before.lines.slice(1));
  const { row } = before.lines[0] as LogLine;
  expect(unsent?.row).toEqual({ ...row, shared: false, sync: { ...row.sync, state: "imported" } });
  expect(before.lines.map((line) => line.row.id)).toEqual([waiting.id, gone.id, sent.id]);
  expect(await shownFigures()).toEqual(figures);
  expect(await listTubes()).toEqual(tubes);
  expect(await nextBatch()).toEqual([]);
  await reviseTest(waiting.id, { shared: true });
  expect((await nextBatch()).map(({ kind, id, revision }) => [kind, id, revision])).toEqual([["test", waiting.id, 2]]);
  expect(figures[0]?.source).toBe(source);
});

test("importing a file twice changes nothing and never undoes a withdrawal", async () => {
  const { sent } = await filledPhone();
  const file = await throughFile();
  await retractTest(sent.id);
  expect(await importLog(file)).toMatchObject({ tests: 0, sources: 0, tubes: 0, known: 3 });
  expect((await listTests({ limit: 10 })).lines.at(-1)?.row.retracted).toBe(true);
});

test("a file of the first version can be imported", async () => {
  await filledPhone();
  const file = JSON.parse(writeLog(await exportLog(), WHO, NOW));
  const tubesBefore = await listTubes();
  for (const { test, earlier } of file.tests) {
    for (const { tube, runs } of [test, ...earlier]) {
      for (const name of ["calibration", "offset", "offset_uncertainty"]) delete tube[name];
      for (const run of runs) for (const name of ["line_half_width", "marks"]) delete run[name];
    }
  }
  for (const name of ["plans", "cans", "fills", "vehicles", "settings", "photos"]) delete file[name];
  const known = ["calibration", "offset", "offset_uncertainty", "sample", "scale_checks", "history"];
  for (const tube of file.tubes) for (const name of known) delete tube[name];
  const read = await readLog(JSON.stringify({ ...file, version: 1 }));
  if ("code" in read) throw new Error(`${read.code} ${read.where}`);
  await newPhone();
  expect(await importLog(read)).toMatchObject({ tests: 3, tubes: 1 });
  const [tube] = await listTubes();
  expect(tube).toEqual(
    tubeRow({
      ...tubesBefore[0],
      calibration: [],
      offset: 0,
      offset_uncertainty: 0,
      sample: null,
      scale_checks: [],
      history: [],
    }),
  );
});

describe("an invalid log is refused as a whole", () => {
  /** The file with one value changed; undefined removes the field. */
  const damaged = async (place: string, value: unknown) => {
    await filledPhone();
    const file = JSON.parse(writeLog(await exportLog(), WHO, NOW));
    const names = place.split(".");
    const last = names.pop() as string;
    Reflect.set(
      names.reduce((at, name) => Reflect.get(at, name), file),
      last,
      value,
    );
    return readLog(JSON.stringify(file));
  };

  test("not JSON, or from another program", async () => {
    expect(await readLog("<html>")).toEqual({ code: "not_json", where: "" });
    expect(await readLog("[1]")).toEqual({ code: "not_a_log", where: "" });
    expect(await readLog('{"format":"splitline log","version":7}')).toEqual({ code: "newer", where: "7" });
  });

  test.each([
    ["a text where a number belongs", "tests[1]", "tests.1.test.content", "83"],
    ["a content no fuel has", "tests[0]", "tests.0.test.content", 151],
    ["no uncertainty", "tests[0]", "tests.0.test.expanded_uncertainty", 0],
    ["an unknown field", "tests[2]", "tests.2.test.color", "red"],
    ["a missing field", "tests[2]", "tests.2.test.tube.scale", undefined],
    ["a test without runs", "tests[0]", "tests.0.test.runs", []],
    ["an id of another kind", "sources[0]", "sources.0.id", "1"],
    ["a latitude beyond the pole", "sources[0]", "sources.0.latitude", 91],
    ["a list that is none", "tubes", "tubes", {}],
    ["a weighed mark without its mass", "tubes[0]", "tubes.0.calibration.0.mass", undefined],
    ["a change of a kind nobody knows", "tubes[0]", "tubes.0.history.0.what", "painted"],
    ["an offset no tube has", "tubes[0]", "tubes.0.offset", 16],
    ["an offset no record carries", "tests[0]", "tests.0.test.tube.offset_uncertainty", 31],
    ["photo marks with a point missing", "tests[0]", "tests.0.test.runs.0.marks", { photo: "0".repeat(64) }],
    ["half a secret", "secret", "secret", "abcd"],
  ])("%s", async (_, where, place, value) => {
    expect(await damaged(place, value)).toEqual({ code: "damaged", where });
  });
});
