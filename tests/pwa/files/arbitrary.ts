/** Arbitrary rows of every kind that a phone stores; records keep to the server's ranges. */

import fc from "fast-check";
import { SPECIFICATIONS } from "@/chemistry/meaning";
import { newId } from "@/ids";
import { LIQUIDS, type PhotoMarks, type Place, type Run, SCALES, type Tube } from "@/records";
import type { CanRow } from "@/rows/can";
import type { Draft, DraftRun } from "@/rows/draft";
import type { FilledPart, FillRow, InTank } from "@/rows/fill";
import type { PlanRow } from "@/rows/plan";
import type { Settings } from "@/rows/settings";
import type { SourceRow } from "@/rows/source";
import type { StarRow } from "@/rows/star";
import type { OwnTest, SealedTest, SyncNote } from "@/rows/test";
import type { HeightCheck, KnownSample, TubeChange, TubeRow, WeighedMark } from "@/rows/tube";
import type { Tank, VehicleRow, Vehicles } from "@/rows/vehicle";
import { NOW } from "../helpers/examples";

type Later<Row> = { [Name in keyof Row]-?: object extends Pick<Row, Name> ? Name : never }[keyof Row];
type Of<Row, Names extends keyof Row> = { [Name in Names]-?: fc.Arbitrary<Row[Name]> };

/** An object with all fields of `must` and some of `later`; tsc reports forgotten fields of the row. */
function row<Row extends object>(
  must: Of<Row, Exclude<keyof Row, Later<Row>>>,
  later: Of<Row, Later<Row>>,
): fc.Arbitrary<Row> {
  return fc.record({ ...must, ...later }, { requiredKeys: Object.keys(must) as never[] }) as fc.Arbitrary<Row>;
}

export const id = fc.nat().map((n) => newId(NOW.getTime() + (n % 1e9)));
export const time = fc
  .date({ min: new Date("2020-01-01"), max: new Date("2030-01-01"), noInvalidDate: true })
  .map((at) => at.toISOString());
export const text = (most: number) =>
  fc.string({ unit: "grapheme", maxLength: Math.floor(most / 4) }).filter((one) => one.length <= most);
export const maybe = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: null });
/** JSON has no -0. */
const within = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((value) => value || 0);
const above = (max: number) => fc.double({ min: 0, minExcluded: true, max, noNaN: true });
const few = <T>(one: fc.Arbitrary<T>) => fc.array(one, { maxLength: 3 });
const digest = fc.nat().map((n) => n.toString(16).padStart(64, "0"));
const revision = fc.integer({ min: 1, max: 1_000_000 });
const percent = within(-50, 150);
const uncertainty = within(0, 100);
const mL = within(0, 2000);
const litres = within(0, 10_000);

const problem = { code: text(80), field: text(200), value: text(2000), limit: text(2000), sentence: text(2000) };
export const problems = few(fc.record(problem));
const sync: fc.Arbitrary<SyncNote> = fc.record({
  state: fc.constantFrom("private", "imported", "needs_position", "waiting", "sent", "held", "refused"),
  problems,
  revision: maybe(revision),
  answered_at: maybe(time),
});

const point: fc.Arbitrary<Place> = fc.record({ x: within(0, 20_000), y: within(0, 20_000) });
const points = { bottom: point, water: point, fuel: point, line: point };
const marks: fc.Arbitrary<PhotoMarks> = fc.record({ photo: digest, bottom_volume: mL, ...points });
const read = { line: maybe(mL), percent: maybe(percent), top: maybe(mL) };
const readFromPhoto = { line_half_width: maybe(mL), marks: maybe(marks) };

const scale = fc.constantFrom<Tube["scale"]>(...SCALES);
const liquid = fc.constantFrom<Tube["liquid"]>(...LIQUIDS);
const said = { id, scale, graduation: above(50), liquid, tolerance: maybe(within(0, 50)) };
const offset = { offset: within(-15, 15), offset_uncertainty: within(0, 30) };
const offset_content = maybe(percent);
const tubeOfTest = row<Tube>(said, {
  ...offset,
  offset_content,
  calibration: few(fc.record({ nominal: mL, true: mL })),
});
const run = row<Run>(
  { water: mL, fuel: mL, ...read },
  { ...readFromPhoto, tube: maybe(tubeOfTest), set_aside: text(200) },
);

const celsius = within(-20, 40);
const filled = {
  ...{ water_temperature: maybe(celsius), water_temperature_measured: fc.boolean() },
  ...{ fuel_temperature: maybe(celsius), fuel_temperature_measured: fc.boolean() },
};
const sampled = fc.constantFrom("pump", "can", "tank");
const sealed = row<SealedTest>(
  {
    kind: fc.constant("test"),
    ...{ id, revision, source: id, sampled, sampled_at: time, tested_at: time, tube: tubeOfTest },
    ...{ temperature: celsius, temperature_measured: fc.boolean(), fuel_water: within(0, 10) },
    runs: fc.array(run, { minLength: 1, maxLength: 3 }),
    ...{ content: percent, expanded_uncertainty: above(100), note: text(1000), photos: few(digest) },
  },
  { ...filled, model: fc.integer({ min: 1, max: 9 }) },
);
export const ownTest = row<OwnTest>(
  {
    ...{ id, source: id, tested_at: time, kept_at: time, test: sealed, earlier: few(sealed), sync },
    ...{ own_uncertainty: uncertainty, shared_uncertainty: uncertainty, shared: fc.boolean(), retracted: fc.boolean() },
    ...{ server_content: maybe(percent), server_uncertainty: maybe(uncertainty) },
  },
  {
    ...{ author: fc.constant("00112233445566aa"), clock_behind: maybe(fc.integer()) },
    unshared_photos: few(digest),
    replaced: few(fc.record({ revision, at: time })),
  },
);

export const source = row<SourceRow>(
  {
    ...{ id, revision, name: text(80).map((name) => name || "x"), recorded_at: time },
    ...{ latitude: maybe(within(-90, 90)), longitude: maybe(within(-180, 180)) },
    ...{ subdivision: maybe(fc.constant("FR-63")), pump: text(40), notes: text(500), own: fc.boolean() },
    ...{ region: maybe(fc.constant("FR-15")), contributor: maybe(fc.constant("00112233445566aa")), sync: maybe(sync) },
  },
  { retracting: fc.boolean() },
);

const weighedMark: fc.Arbitrary<WeighedMark> = fc.record({
  ...{ nominal: mL, true: mL, mass: within(0, 3000), temperature: celsius },
  ...{ resolution: within(0, 100), weighed_at: time },
});
const sample: fc.Arbitrary<KnownSample> = fc.record({
  ...{ test: id, known: percent, known_uncertainty: uncertainty },
  ...{ measured: percent, measured_uncertainty: uncertainty, taken_at: time },
});
const number = within(-1e6, 1e6);
const heightCheck: fc.Arbitrary<HeightCheck> = fc.record({
  kind: fc.constantFrom("linear", "corrected", "cannot_tell"),
  ...{ linear_misfit: number, corrected_misfit: number, water_height: number, fuel_height: number },
  ...{ marks: few(fc.record({ percent, height: number })), checked_at: time },
});
const changed = <const What>(what: What[], more: object) =>
  fc.record({ at: time, what: fc.constantFrom(...what), ...more });
const tubeChange = fc.oneof(
  changed(["scale"], { before: scale, after: scale }),
  changed(["liquid"], { before: liquid, after: liquid }),
  changed(["graduation", "tolerance", "water_mark", "fuel_mark"], { before: maybe(number), after: maybe(number) }),
  changed(["weighed", "weighing_dropped"], { mark: weighedMark }),
  changed(["scale_checked"], { check: heightCheck }),
  changed(["offset_taken", "offset_dropped"], { sample, ...offset }),
  changed(["recomputed"], { tests: fc.integer({ min: 1 }) }),
) as fc.Arbitrary<TubeChange>;
const found = {
  ...{ ...offset, offset_content, calibration: few(weighedMark), sample: maybe(sample) },
  ...{ scale_checks: few(heightCheck), history: few(tubeChange) },
};
const entered = { ...said, name: text(200), water_mark: mL, fuel_mark: mL, made_at: time, put_away: fc.boolean() };
/** Also one that an earlier version wrote. */
export const tube = row<Omit<TubeRow, keyof typeof found> & Partial<Pick<TubeRow, keyof typeof found>>>(entered, found);

export const plan = (source: fc.Arbitrary<string>): fc.Arbitrary<PlanRow> =>
  fc.record({ source, first_day: fc.constant("2026-03-16"), weeks: fc.integer({ min: 1, max: 26 }), made_at: time });
export const star = (source: fc.Arbitrary<string>): fc.Arbitrary<StarRow> => fc.record({ source, starred_at: time });
export const can: fc.Arbitrary<CanRow> = fc.record({
  ...{ id, name: text(80), capacity: maybe(litres), volume: litres },
  ...{ content: maybe(percent), expanded_uncertainty: maybe(uncertainty), source: maybe(id), test: maybe(id) },
  ...{ tested_at: maybe(time), filled_at: time, opened_humid_at: maybe(time), emptied_at: maybe(time) },
  retest_days: fc.integer({ min: 1, max: 3650 }),
});
const inTank = {
  ...{ capacity: maybe(litres), volume: maybe(litres), changed_at: time },
  ...{ content: maybe(percent), expanded_uncertainty: maybe(uncertainty) },
};
/** As earlier versions wrote it. */
export const tank: fc.Arbitrary<Tank> = fc.record(inTank);
const vehicle: fc.Arbitrary<VehicleRow> = fc.record({
  ...{ id, name: text(80), sensor: fc.boolean(), minimum: maybe(uncertainty), ...inTank },
});
export const vehicles: fc.Arbitrary<Vehicles> = fc.record({ in_use: maybe(id), rows: few(vehicle) });
const inTankThen: fc.Arbitrary<InTank> = fc.record({
  ...{ volume: maybe(litres), content: maybe(percent), expanded_uncertainty: maybe(uncertainty) },
});
const filledPart: fc.Arbitrary<FilledPart> = fc.record({
  ...{ volume: litres, content: maybe(percent), expanded_uncertainty: maybe(uncertainty), source: maybe(id) },
  ...{ name: text(200), test: maybe(id), water: maybe(within(0, 10)) },
  from: fc.constantFrom("test", "estimate", "typed"),
});
export const fill: fc.Arbitrary<FillRow> = fc.record({
  ...{ id, vehicle: id, filled_at: time, added: few(filledPart), before: inTankThen, after: inTankThen },
  ...{ sensed: maybe(percent), note: text(1000) },
});
export const settings = row<Partial<Settings>>(
  {},
  {
    temperature_unit: fc.constantFrom("C", "F"),
    volume_unit: fc.constantFrom("L", "gal"),
    distance_unit: fc.constantFrom("km", "mi"),
    look: fc.constantFrom("auto", "light", "dark", "sunlight"),
    server: fc.constantFrom("", "https://fuel.example.org", "http://localhost:8484"),
    specification: maybe(fc.constantFrom(...SPECIFICATIONS.map((one) => one.code))),
    regions: fc.subarray(["FR-15", "FR-63", "US-CA"]),
    ...{ own_minimum: maybe(uncertainty), settle_minutes: within(1, 120), fuel_water: within(0, 10) },
    ...{ share: fc.boolean(), tube: maybe(id), sampled: maybe(sampled) },
  },
);

const sheetRun = row<DraftRun>(
  {
    ...{ water: maybe(mL), fuel: maybe(mL), shaken: fc.boolean(), settle_until: maybe(fc.nat()) },
    ...{ ...read, ...readFromPhoto, photo: maybe(digest) },
  },
  {
    shaken_at: maybe(fc.nat()),
    read_at: maybe(fc.nat()),
    temperature: maybe(celsius),
    tube: maybe(id),
    set_aside: text(200),
    confirmed: fc.boolean(),
  },
);
/** Also one that an earlier version wrote. */
export const sheet = row<Omit<Draft, "corrects">>(
  {
    ...{ id, started_at: time, source: maybe(id), sampled: maybe(sampled), sampled_at: maybe(time), tube: maybe(id) },
    ...{ temperature: maybe(celsius), temperature_measured: fc.boolean(), fuel_water: within(0, 10) },
    ...{ settle_minutes: within(1, 120), runs: few(sheetRun), note: text(1000), photos: few(digest) },
    ...{ shared: fc.boolean(), cautions_read: fc.boolean() },
  },
  { ...filled, at: maybe(text(20)), unshared_photos: few(digest) },
);
