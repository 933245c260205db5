// Three temperatures: measured ones go into the record, and the tube's is estimated if it was not measured.

import { EMPTY_RUN } from "@/model/progress";
import { minutesSince, mixtureOf, temperaturesOf } from "@/model/temperatures";
import { minutesToCool, riseOnMixing } from "@/model/warming";
import type { Draft, DraftRun } from "@/rows/draft";
import { readNow } from "@/screens/test/run-entry";
import { newDraft } from "@/store/drafts";
import { DEFAULTS } from "@/store/settings";
import { NOW } from "../helpers/examples";

const MINUTE = 60_000;
const now = NOW.getTime();
const empty = newDraft(DEFAULTS, NOW);
const sheet: Draft = { ...empty, water_temperature: 12, water_temperature_measured: true };
const run: DraftRun = { ...EMPTY_RUN, water: 50, fuel: 50, shaken: true, shaken_at: now - 20 * MINUTE, line: 90 };
const read = { ...run, read_at: now - 10 * MINUTE };

test("in a draft of an earlier version everything is as warm as the tube", () => {
  const old = { ...empty, temperature: 8, temperature_measured: true };
  expect(temperaturesOf(old, [run])).toEqual({ temperature: 8, temperature_measured: true });
  expect(mixtureOf(old, run)).toBeNull();
});

test("no temperature is known before the water's is", () => {
  expect(temperaturesOf(empty, [run])).toBeNull();
});

test("the temperature of an unmeasured tube is estimated from mixing and ten minutes of cooling", () => {
  const found = temperaturesOf(sheet, [read]);
  expect(found).toMatchObject({ temperature_measured: false, water_temperature: 12, water_temperature_measured: true });
  expect(found).toMatchObject({ fuel_temperature: null, fuel_temperature_measured: false });
  // A line at 90 mL means 80 % before any correction.
  expect(found?.temperature).toBeCloseTo(12 + riseOnMixing(80, 0.5) * Math.exp(-10 / minutesToCool(100)), 9);
});

test("a measured tube temperature is used, and the mean of two runs", () => {
  const measured = { ...read, temperature: 17 };
  expect(temperaturesOf(sheet, [measured])).toMatchObject({ temperature: 17, temperature_measured: true });
  const both = temperaturesOf(sheet, [measured, { ...read, temperature: 15 }]);
  expect(both).toMatchObject({ temperature: 16, temperature_measured: true });
  expect(temperaturesOf(sheet, [measured, read])?.temperature_measured).toBe(false);
});

test("the fuel's temperature counts as measured only if it is known", () => {
  const filled = { ...sheet, fuel_temperature_measured: true };
  expect(temperaturesOf(filled, [read])).toMatchObject({ fuel_temperature_measured: false });
  expect(temperaturesOf({ ...filled, fuel_temperature: 9 }, [read])).toMatchObject({
    fuel_temperature: 9,
    fuel_temperature_measured: true,
  });
});

test("correcting a reading keeps the time of the first one", () => {
  expect(readNow(run, { line: 89 }, now)).toEqual({ line: 89, read_at: now });
  expect(readNow(read, { line: 89 }, now)).toEqual({ line: 89 });
  expect(readNow(run, { line: null, percent: null }, now)).toEqual({ line: null, percent: null });
  expect(readNow(run, { temperature: 17 }, now)).toEqual({ temperature: 17 });
});

test("the settling time is stated only if it was recorded", () => {
  expect(minutesSince(run, now)).toBe(20);
  expect(minutesSince(EMPTY_RUN, now)).toBeNull();
});
