import { IDBFactory } from "fake-indexeddb";
import { type LogFile, readLog, writeLog } from "@/files/log-file";
import { newId } from "@/ids";
import { carryIn, carryOut } from "@/store/carry";
import { listFigures, refreshFigures } from "@/store/figures";
import { close } from "@/store/open";
import { nextBatch, settle } from "@/store/outbox";
import type { TubeRow } from "@/store/schema";
import { addSource } from "@/store/sources";
import { keepTest, listTests, retractTest, reviseTest } from "@/store/tests";
import { listTubes, saveTube } from "@/store/tubes";
import { entry, keeping, NOW, stored } from "../invented";

const WHO = { contributor: "00112233445566ff", secret: null };

const tube: TubeRow = {
  id: newId(),
  name: "the long one",
  scale: "volume",
  graduation: 1,
  liquid: "water",
  tolerance: null,
  water_mark: 50,
  fuel_mark: 100,
  made_at: NOW.toISOString(),
  put_away: false,
};

/** A phone with one sent, one waiting and one taken-back test. */
async function filledPhone() {
  const source = await addSource(entry(), true, NOW);
  await saveTube(tube);
  const sent = await keepTest(keeping(source), NOW);
  const gone = await keepTest(keeping(source, { content: 20 }), NOW);
  const batch = await nextBatch();
  await settle(batch, batch.map(stored), NOW);
  await retractTest(gone.id, NOW);
  const second = await nextBatch();
  await settle(second, second.map(stored), NOW);
  const waiting = await keepTest(keeping(source, { note: "no signal" }), NOW);
  await reviseTest(waiting.id, { note: "still no signal" }, NOW);
  return { source, sent, gone, waiting };
}

function newPhone() {
  close();
  globalThis.indexedDB = new IDBFactory();
}

async function throughFile(): Promise<LogFile> {
  const file = readLog(writeLog(await carryOut(), WHO, NOW));
  if ("code" in file) throw new Error(`${file.code} ${file.where}`);
  return file;
}

test("a log goes through a file to a new phone: the same tests, the same queue, the same figures", async () => {
  const { source, sent, gone, waiting } = await filledPhone();
  const before = await listTests({ limit: 10 });
  const figures = await listFigures();
  const file = await throughFile();
  newPhone();
  expect(await carryIn(file)).toEqual({ tests: 3, sources: 1, tubes: 1, known: 0 });
  await refreshFigures(NOW);
  expect(await listTests({ limit: 10 })).toEqual(before);
  expect(before.lines.map((line) => line.row.id)).toEqual([waiting.id, gone.id, sent.id]);
  expect(await listFigures()).toEqual(figures);
  expect(await listTubes()).toEqual([tube]);
  expect((await nextBatch()).map(({ kind, id, revision }) => [kind, id, revision])).toEqual([["test", waiting.id, 2]]);
  expect(figures[0]?.source).toBe(source);
});

test("reading a file in twice changes nothing the second time, and never undoes a taking back", async () => {
  const { sent } = await filledPhone();
  const file = await throughFile();
  await retractTest(sent.id, NOW);
  expect(await carryIn(file)).toEqual({ tests: 0, sources: 0, tubes: 0, known: 3 });
  expect((await listTests({ limit: 10 })).lines.at(-1)?.row.retracted).toBe(true);
});

describe("what is not a sound log is refused as a whole", () => {
  /** The file with one place set to something else; undefined takes the field out. */
  const damaged = async (place: string, value: unknown) => {
    await filledPhone();
    const file = JSON.parse(writeLog(await carryOut(), WHO, NOW));
    const names = place.split(".");
    const last = names.pop() as string;
    Reflect.set(
      names.reduce((at, name) => Reflect.get(at, name), file),
      last,
      value,
    );
    return readLog(JSON.stringify(file));
  };

  test("not JSON, or of another program", async () => {
    expect(readLog("<html>")).toEqual({ code: "not_json", where: "" });
    expect(readLog("[1]")).toEqual({ code: "not_a_log", where: "" });
    expect(readLog('{"format":"splitline log","version":2}')).toEqual({ code: "newer", where: "2" });
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
    ["half a secret", "secret", "secret", "abcd"],
  ])("%s", async (_, where, place, value) => {
    expect(await damaged(place, value)).toEqual({ code: "damaged", where });
  });
});
