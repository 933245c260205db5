/** A valid file is read; with one value damaged, the whole file is refused and the row is named. */

import fc from "fast-check";
import { readLog, writeLog } from "@/files/log-file";
import { firstVehicle } from "@/rows/vehicle";
import { NOW } from "../helpers/examples";
import { can, fill, id, maybe, ownTest, plan, settings, sheet, source, star, tank, tube, vehicles } from "./arbitrary";

const few = <T>(one: fc.Arbitrary<T>) => fc.array(one, { minLength: 1, maxLength: 2 });
/** Of the bytes 1, 2, 3. */
const PHOTO = {
  digest: "039058c6f2c0cb492c533b0a4d14ef77cc0f78abccced5287d84a1a2011cfb81",
  type: "image/jpeg",
  bytes: "AQID",
  width: 4,
  height: 3,
  made_at: NOW.toISOString(),
  state: "private",
  problem: "",
};
const content = fc.record({
  ...{ tests: few(ownTest), sources: few(source), tubes: few(tube), plans: few(plan(id)), cans: few(can) },
  ...{ stars: few(star(id)), fills: few(fill) },
  ...{ tank: maybe(tank), vehicles: maybe(vehicles), settings: maybe(settings), sheet: maybe(sheet) },
  photos: fc.constant([PHOTO]),
  ...{ language: fc.constantFrom(null, "fr", "en-GB"), secret: fc.constantFrom(null, "0a".repeat(32)) },
});

const HEAD = { format: "splitline log", version: 6, written_at: NOW.toISOString(), contributor: "00112233445566ff" };
const read = (file: object) => readLog(JSON.stringify({ ...HEAD, ...file }));

/** A valid, empty file. */
const EMPTY = { tests: [], sources: [], tubes: [], secret: null };

/** Fields that files of an earlier version lack; 0 stands for every row. */
const LATER = [
  /^(plans|stars|cans|fills|photos|tank|vehicles|settings|sheet|language)$/,
  /^tests\.0\.(author|clock_behind|replaced|unshared_photos)$/,
  /^tests\.0\.(test|earlier\.0)\.(runs\.0\.)?tube\.(calibration|offset|offset_uncertainty|offset_content)$/,
  /^tests\.0\.(test|earlier\.0)\.runs\.0\.(line_half_width|marks|tube|set_aside)$/,
  /^tests\.0\.(test|earlier\.0)\.((water|fuel)_temperature(_measured)?|model)$/,
  /^sources\.0\.retracting$/,
  /^tubes\.0\.(calibration|offset|offset_uncertainty|offset_content|sample|scale_checks|history)$/,
  /^settings\.\w+$/,
  /^sheet\.((water|fuel)_temperature(_measured)?|at|unshared_photos)$/,
  /^sheet\.runs\.0\.(shaken_at|read_at|temperature|tube|set_aside|confirmed)$/,
];

/** Whether the place is a named field that cannot be missing. */
function isNeeded(kind: string): boolean {
  return !kind.endsWith(".0") && !LATER.some((one) => one.test(kind));
}

/** Every place in a value, as a path of names and indexes, with the value there. */
function* places(value: unknown, path: string[] = []): Generator<[path: string[], value: unknown]> {
  if (path.length > 0) yield [path, value];
  if (typeof value !== "object" || value === null) return;
  for (const [name, part] of Object.entries(value)) yield* places(part, [...path, name]);
}

/** Values that no field accepts in place of this one. */
function spoilt(value: unknown): unknown[] {
  if (typeof value === "number") return [String(value), 1e300, -1e300];
  if (typeof value === "string") return [value + "x".repeat(3000), 7];
  if (typeof value === "boolean") return ["yes", 1, null];
  if (value === null) return [false, { colour: "red" }];
  if (Array.isArray(value)) return [{ ...value }, null];
  return [{ ...value, colour: "red" }, { ...value, constructor: 1 }, { ...value, ["__proto__"]: 1 }, [], "red"];
}

/** A file with another value in one place; undefined removes the field. */
function changed(file: object, path: string[], value: unknown): object {
  const copy = structuredClone(file);
  const parent = path.slice(0, -1).reduce((at, name) => Reflect.get(at, name), copy);
  Reflect.set(parent, path.at(-1) as string, value);
  return copy;
}

test("a valid file is read unchanged", async () => {
  await fc.assert(
    fc.asyncProperty(content, async (sound) => {
      const file = await read(sound);
      if ("code" in file) throw new Error(file.where);
      const { tank, vehicles, settings, ...rows } = sound;
      // In a file without vehicles, the tank and the minimum of an earlier version become a vehicle.
      const first = firstVehicle(tank, settings?.own_minimum ?? null);
      const { own_minimum: _, ...others } = settings ?? {};
      const owned = { vehicles: vehicles ?? first, settings: settings && others };
      const written = JSON.parse(writeLog(file, { ...HEAD, secret: file.secret }, NOW));
      expect(written).toMatchObject({ ...HEAD, ...rows, ...owned });
      expect(written).not.toHaveProperty("tank");
    }),
  );
});

test("one invalid row makes the file invalid and is named", async () => {
  await fc.assert(
    fc.asyncProperty(content, async (sound) => {
      // One place of each kind: the second test's third run is like the first one's first.
      const kinds = new Map([...places(sound)].map((place) => [place[0].join(".").replace(/\d+/g, "0"), place]));
      for (const [kind, [path, value]] of kinds) {
        const [name, row] = path as [keyof typeof sound, string?];
        const where = Array.isArray(sound[name]) && row !== undefined ? `${name}[${row}]` : name;
        for (const way of [...spoilt(value), ...(isNeeded(kind) ? [undefined] : [])]) {
          // Undecided.
          if (kind === "settings.share" && way === null) continue;
          const found = await read(changed({ ...EMPTY, [name]: sound[name] }, path, way));
          expect(found, `${path.join(".")}: ${JSON.stringify(way)}`).toEqual({ code: "damaged", where });
        }
      }
    }),
    { numRuns: 8, endOnFailure: true },
  );
});

test("a list that is too long is refused unread", async () => {
  expect(await read({ ...EMPTY, cans: Array(100_001).fill(7) })).toEqual({ code: "damaged", where: "cans" });
  expect(await read({ ...EMPTY, cans: [7] })).toEqual({ code: "damaged", where: "cans[0]" });
});
