/** Any phone's data: exported, imported on an empty phone and exported again, the files are equal. */

import { IDBFactory } from "fake-indexeddb";
import fc from "fast-check";
import { readLog, writeLog } from "@/files/log-file";
import { newId, sha256, toHex } from "@/ids";
import { EMPTY_RUN } from "@/model/progress";
import type { PhotoRow } from "@/rows/photo";
import type { SourceRow } from "@/rows/source";
import type { OwnTest, SyncNote } from "@/rows/test";
import { wholeTube } from "@/rows/tube";
import { inUse, NO_VEHICLES, newVehicle, withVehicle } from "@/rows/vehicle";
import { loadDraft, newDraft, SHEET, saveDraft } from "@/store/drafts";
import { close, write } from "@/store/open";
import { DEFAULTS, loadSettings, saveSettings, writeFact } from "@/store/settings";
import { saveTest } from "@/store/tests";
import { exportLog, importLog } from "@/store/transfer";
import { loadVehicles } from "@/store/vehicles";
import { entry, keeping, NOW, sealed } from "../helpers/examples";
import { can, fill, id, maybe, plan, problems, settings, sheet, star, text, time, tube, vehicles } from "./arbitrary";

const RUNS = 30;
const WHO = { contributor: "00112233445566ff", secret: null };

const percent = fc.double({ min: 1, max: 99, noNaN: true });

/** The expected state after an import: refused records are queued again without problems. */
const settled = fc.record({
  state: fc.constantFrom<SyncNote["state"]>("private", "sent", "held"),
  problems,
  revision: maybe(fc.integer({ min: 1, max: 9 })),
  answered_at: maybe(time),
});
const waiting = fc
  .record({ revision: maybe(fc.integer({ min: 1, max: 9 })), answered_at: maybe(time) })
  .map((note): SyncNote => ({ state: "waiting", problems: [], ...note }));
const note: fc.Arbitrary<SyncNote> = fc.oneof(settled, waiting);

const source = fc
  .record({
    id,
    name: text(60),
    pump: text(30),
    notes: text(100),
    sync: note,
    own: fc.boolean(),
    region: maybe(fc.constant("FR-63")),
  })
  .map(
    ({ name, own, sync, ...rest }): SourceRow => ({
      ...entry(),
      ...rest,
      name: name || "x",
      own,
      revision: 1,
      recorded_at: NOW.toISOString(),
      contributor: own ? null : "00112233445566aa",
      sync: own ? sync : null,
    }),
  );

const test_of = (sources: readonly SourceRow[]) =>
  fc
    .record({
      id,
      at: fc.nat(),
      content: percent,
      note: text(200),
      sync: note,
      shared: fc.boolean(),
      retracted: fc.boolean(),
      again: fc.boolean(),
    })
    .map(({ id, at, content, note, sync, shared, retracted, again }): OwnTest => {
      const place = (sources[at % sources.length] as SourceRow).id;
      const test = sealed(place, { id, content, note, revision: again ? 2 : 1 });
      const earlier = again ? [sealed(place, { id, content, note: "before" })] : [];
      const server = shared ? { server_content: content, server_uncertainty: 1.8 } : NOTHING;
      const parts = { own_uncertainty: 0.8, shared_uncertainty: 0.4 };
      const row = { id, source: place, tested_at: test.tested_at, test, earlier, shared, retracted, sync };
      return { ...row, ...parts, ...server, kept_at: NOW.toISOString() };
    });
const NOTHING = { server_content: null, server_uncertainty: null };

const picture = fc.record({ bytes: fc.uint8Array({ minLength: 1, maxLength: 500 }), made_at: time });

const phone = fc.array(source, { minLength: 1, maxLength: 4 }).chain((sources) =>
  fc.record({
    sources: fc.constant(sources),
    tests: fc.array(test_of(sources), { maxLength: 6 }),
    tubes: fc.array(tube.map(wholeTube), { maxLength: 3 }),
    plans: fc.array(plan(fc.constantFrom(...sources.map((row) => row.id))), { maxLength: 3 }),
    starred: fc.uniqueArray(star(fc.constantFrom(...sources.map((row) => row.id))), {
      selector: (row) => row.source,
    }),
    cans: fc.array(can, { maxLength: 3 }),
    fills: fc.array(fill, { maxLength: 3 }),
    vehicles: maybe(vehicles),
    // A file never sets the server address.
    settings: maybe(
      settings.map(({ own_minimum: _, ...some }) => ({ ...DEFAULTS, ...some, server: "", own_minimum: undefined })),
    ),
    sheet: maybe(sheet),
    pictures: fc.array(picture, { maxLength: 3 }),
  }),
);

/** A phone of the person who exported the file. */
async function newPhone(): Promise<void> {
  close();
  globalThis.indexedDB = new IDBFactory();
  await writeFact("identity", { secret: "00".repeat(32), contributor: WHO.contributor });
}

function importedSource(row: SourceRow): SourceRow {
  return row.sync?.state === "waiting" ? { ...row, sync: { ...row.sync, state: "imported" } } : row;
}

/** After an import queued records wait for consent; a withdrawal stays queued. */
function imported(row: OwnTest): OwnTest {
  const { revision, answered_at } = row.sync;
  if (row.retracted || row.sync.state !== "waiting") return row;
  return { ...row, shared: false, sync: { state: "imported", problems: [], revision, answered_at } };
}

async function photoOf({ bytes, made_at }: { bytes: Uint8Array; made_at: string }): Promise<PhotoRow> {
  const buffer = new Uint8Array(bytes).buffer;
  const digest = toHex(await sha256(buffer));
  return { digest, type: "image/jpeg", bytes: buffer, width: 4, height: 3, made_at, state: "sent", problem: "" };
}

test("a log file round-trips any content", async () => {
  await fc.assert(
    fc.asyncProperty(
      phone,
      async ({ sources, tests, tubes, plans, starred, cans, fills, vehicles, settings, sheet, pictures }) => {
        await newPhone();
        const photos = await Promise.all(pictures.map(photoOf));
        await write(
          ["own_tests", "sources", "tubes", "plans", "cans", "fills", "photos", "settings", "drafts"],
          async (writing) => {
            if (sheet !== null) await writing.objectStore("drafts").put(sheet, SHEET);
            for (const row of sources) await writing.objectStore("sources").put(row);
            for (const row of tests) await writing.objectStore("own_tests").put(row);
            for (const row of tubes) await writing.objectStore("tubes").put(row);
            for (const row of plans) await writing.objectStore("plans").put(row);
            for (const row of cans) await writing.objectStore("cans").put(row);
            for (const row of fills) await writing.objectStore("fills").put(row);
            for (const row of photos) await writing.objectStore("photos").put(row);
            const stars = starred.map(({ source, ...at }) => [source, { ...at, seen: null, looked: null }]);
            await writing.objectStore("settings").put(Object.fromEntries(stars), "stars");
            if (vehicles !== null) await writing.objectStore("settings").put(vehicles, "vehicles");
            if (settings !== null) await writing.objectStore("settings").put(settings, "settings");
          },
        );
        const before = writeLog(await exportLog(true), WHO, NOW);
        const file = await readLog(before);
        if ("code" in file) throw new Error(`${file.code} ${file.where}`);
        await newPhone();
        const taken = await importLog(file);
        const after = writeLog(
          { ...file, sources: file.sources.map(importedSource), tests: file.tests.map(imported) },
          WHO,
          NOW,
        );
        expect(writeLog(await exportLog(true), WHO, NOW)).toBe(after);
        expect(taken.tests).toBe(new Set(tests.map((row) => row.id)).size);
        // A second time nothing is new.
        expect(await importLog(file)).toMatchObject({
          tests: 0,
          sources: 0,
          tubes: 0,
          plans: 0,
          stars: 0,
          cans: 0,
          fills: 0,
          photos: 0,
        });
        expect(writeLog(await exportLog(true), WHO, NOW)).toBe(after);
      },
    ),
    { numRuns: RUNS },
  );
});

test("a file without photos has none, and a foreign picture is refused", async () => {
  await newPhone();
  const photo = await photoOf({ bytes: new Uint8Array([1, 2, 3]), made_at: NOW.toISOString() });
  await write(["photos"], (writing) => writing.objectStore("photos").put(photo));
  expect((await exportLog()).photos).toEqual([]);
  const file = JSON.parse(writeLog(await exportLog(true), WHO, NOW));
  expect(file.photos).toHaveLength(1);
  file.photos[0].bytes = "AQIE";
  expect(await readLog(JSON.stringify(file))).toEqual({ code: "damaged", where: "photos[0]" });
});

test("importing keeps newer plans, tanks and settings", async () => {
  await newPhone();
  const plan = { source: newId(), first_day: "2026-03-16", weeks: 4, made_at: "2026-03-01T00:00:00.000Z" };
  const older = {
    ...newVehicle(newId()),
    name: "Blue hatchback",
    minimum: 80,
    capacity: 50,
    volume: 20,
    content: 70,
    expanded_uncertainty: 2,
    changed_at: "2026-03-01T00:00:00.000Z",
  };
  await write(["plans", "settings"], async (writing) => {
    await writing.objectStore("plans").put(plan);
    await writing.objectStore("settings").put(withVehicle(NO_VEHICLES, older), "vehicles");
    await writing.objectStore("settings").put({ share: false }, "settings");
  });
  const file = await readLog(writeLog(await exportLog(), WHO, NOW));
  if ("code" in file) throw new Error(file.where);
  const later = "2026-04-01T00:00:00.000Z";
  await write(["plans", "settings"], async (writing) => {
    await writing.objectStore("plans").put({ ...plan, weeks: 9, made_at: later });
    const newer = { ...older, volume: 5, changed_at: later };
    await writing.objectStore("settings").put(withVehicle(NO_VEHICLES, newer), "vehicles");
    await writing.objectStore("settings").put({ share: true }, "settings");
  });
  expect(await importLog(file)).toMatchObject({ plans: 0, vehicles: 0, settings: false });
  const vehicles = { rows: [{ volume: 5, name: "Blue hatchback" }] };
  expect(await exportLog()).toMatchObject({ plans: [{ weeks: 9 }], vehicles, settings: { share: true } });
});

test("a file sets missing settings but never the server address", async () => {
  await newPhone();
  await saveSettings({ own_minimum: 70, server: "https://fuel.example.org" });
  const file = await readLog(writeLog(await exportLog(), WHO, NOW));
  if ("code" in file) throw new Error(file.where);
  await newPhone();
  expect(await importLog(file)).toMatchObject({ settings: true });
  expect(await loadSettings()).toMatchObject({ own_minimum: 70, server: "" });
});

test("a draft is imported without missing pictures and never replaces another draft or a saved test", async () => {
  await newPhone();
  const digest = "ab".repeat(32);
  const marked = { ...EMPTY_RUN, water: 50, fuel: 50, line: 88.5, photo: digest, line_half_width: 0.3 };
  const draft = { ...newDraft(DEFAULTS, NOW), source: newId(), runs: [marked], photos: [digest] };
  await saveDraft(draft);
  const file = await readLog(writeLog(await exportLog(), WHO, NOW));
  if ("code" in file) throw new Error(file.where);
  await newPhone();
  expect(await importLog(file)).toMatchObject({ sheet: true });
  expect(await loadDraft()).toEqual({ ...draft, photos: [], runs: [{ ...marked, photo: null }] });
  const other = { ...newDraft(DEFAULTS, NOW), source: newId() };
  await saveDraft(other);
  expect(await importLog(file)).toMatchObject({ sheet: false });
  expect((await loadDraft())?.id).toBe(other.id);
  await newPhone();
  const { source } = draft;
  await importLog({ ...file, sheet: null, tests: [await saveTest(keeping(source, { id: draft.id }), NOW)] });
  expect(await importLog(file)).toMatchObject({ sheet: false });
});

test("the language is imported if none was chosen", async () => {
  const kept = new Map([["language", "fr"]]);
  vi.stubGlobal("localStorage", {
    getItem: (name: string) => kept.get(name) ?? null,
    setItem: (name: string, value: string) => kept.set(name, value),
  });
  await newPhone();
  const file = await readLog(writeLog(await exportLog(), WHO, NOW));
  if ("code" in file) throw new Error(file.where);
  kept.clear();
  expect(await importLog(file)).toMatchObject({ language: true });
  expect(kept.get("language")).toBe("fr");
  kept.set("language", "en");
  expect(await importLog(file)).toMatchObject({ language: false });
  expect(kept.get("language")).toBe("en");
  vi.unstubAllGlobals();
});

test("the tank and minimum of an old file become one vehicle, however often it is imported", async () => {
  await newPhone();
  const file = JSON.parse(writeLog(await exportLog(), WHO, NOW));
  const tank = { capacity: 50, volume: 20, content: 70, expanded_uncertainty: 2, changed_at: NOW.toISOString() };
  const former = JSON.stringify({ ...file, version: 5, vehicles: undefined, tank, settings: { own_minimum: 80 } });
  const read = await readLog(former);
  if ("code" in read) throw new Error(read.where);
  expect(await importLog(read)).toMatchObject({ vehicles: 1 });
  expect(inUse(await loadVehicles())).toMatchObject({ ...tank, name: "", minimum: 80 });
  expect((await loadSettings()).own_minimum).toBe(80);
  const later = { ...tank, volume: 30, changed_at: new Date(NOW.getTime() + 1000).toISOString() };
  const again = await readLog(JSON.stringify({ ...JSON.parse(former), tank: later, settings: null }));
  if ("code" in again) throw new Error(again.where);
  expect(await importLog(again)).toMatchObject({ vehicles: 1 });
  expect((await loadVehicles()).rows).toMatchObject([{ volume: 30, minimum: 80 }]);
});
