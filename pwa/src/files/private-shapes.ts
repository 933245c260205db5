/** The shapes of the parts of a log file besides tests, sources and tubes: these otherwise never leave the phone. */

import { custom, exactOptional, nullable, pipe, strictObject } from "valibot";
import { SPECIFICATIONS } from "../chemistry/meaning";
import { MOST_WEEKS } from "../model/plan";
import { celsius, mL, photoMarks } from "./log-shapes";
import {
  anyText,
  day,
  digest,
  flag,
  id,
  listOf,
  matching,
  oneOf,
  percent,
  time,
  uncertainty,
  whole,
  within,
} from "./shapes";

const fuel_water = within(0, 10);
/** L: more than any tank or can that people move. */
const litres = within(0, 10_000);
const region = matching(/^[A-Z]{2}(-[A-Z0-9]{1,3})?$/);

export const plan = strictObject({ source: id, first_day: day, weeks: within(1, MOST_WEEKS), made_at: time });

export const star = strictObject({ source: id, starred_at: time });

export const can = strictObject({
  id,
  name: anyText(80),
  capacity: nullable(litres),
  volume: litres,
  content: nullable(percent),
  expanded_uncertainty: nullable(uncertainty),
  source: nullable(id),
  test: nullable(id),
  tested_at: nullable(time),
  filled_at: time,
  opened_humid_at: nullable(time),
  retest_days: within(1, 3650),
  emptied_at: nullable(time),
});

const inTank = {
  capacity: nullable(litres),
  volume: nullable(litres),
  content: nullable(percent),
  expanded_uncertainty: nullable(uncertainty),
  changed_at: time,
};
/** The single tank of an earlier version. */
export const tank = strictObject(inTank);

const minimum = nullable(within(0, 100));
const vehicle = strictObject({ id, name: anyText(80), sensor: flag, minimum, ...inTank });
const inTankThen = {
  volume: inTank.volume,
  content: inTank.content,
  expanded_uncertainty: inTank.expanded_uncertainty,
};
const filled = strictObject({
  volume: litres,
  content: nullable(percent),
  expanded_uncertainty: nullable(uncertainty),
  source: nullable(id),
  name: anyText(200),
  from: oneOf("test", "estimate", "typed"),
  test: nullable(id),
  water: nullable(fuel_water),
});
export const fill = strictObject({
  id,
  vehicle: id,
  filled_at: time,
  added: listOf(filled, 9),
  before: strictObject(inTankThen),
  after: strictObject(inTankThen),
  sensed: nullable(percent),
  note: anyText(1000),
});
export const vehicles = strictObject({ in_use: nullable(id), rows: listOf(vehicle, 1000) });

const sampled = nullable(oneOf("pump", "can", "tank"));
const settle_minutes = within(1, 120);

/** A file may lack any setting. A list lacks all of them, but is not an object of settings. */
export const settings = pipe(
  custom<object>((value) => !Array.isArray(value)),
  strictObject({
    temperature_unit: exactOptional(oneOf("C", "F")),
    volume_unit: exactOptional(oneOf("L", "gal")),
    distance_unit: exactOptional(oneOf("km", "mi")),
    own_minimum: exactOptional(minimum),
    specification: exactOptional(nullable(oneOf(...SPECIFICATIONS.map(({ code }) => code)))),
    server: exactOptional(matching(/^$|^https:\/\/[^\s/]{1,200}$|^http:\/\/(localhost|127\.0\.0\.1)(:\d{1,5})?$/)),
    share: exactOptional(nullable(flag)),
    look: exactOptional(oneOf("auto", "light", "dark", "sunlight")),
    settle_minutes: exactOptional(settle_minutes),
    fuel_water: exactOptional(fuel_water),
    tube: exactOptional(nullable(id)),
    sampled: exactOptional(sampled),
    regions: exactOptional(listOf(region, 90)),
  }),
);

/** The chosen language as its tag (BCP 47). */
export const language = matching(/^[a-z]{2,3}(-[A-Za-z0-9]{1,8}){0,3}$/);

/** ms since 1970 */
const moment = within(0, 1e15);

const sheetRun = strictObject({
  water: nullable(mL),
  fuel: nullable(mL),
  shaken: flag,
  settle_until: nullable(moment),
  line: nullable(mL),
  percent: nullable(percent),
  top: nullable(mL),
  line_half_width: nullable(mL),
  marks: nullable(photoMarks),
  photo: nullable(digest),
  shaken_at: exactOptional(nullable(moment)),
  read_at: exactOptional(nullable(moment)),
  temperature: exactOptional(nullable(celsius)),
  tube: exactOptional(nullable(id)),
  set_aside: exactOptional(anyText(200)),
  confirmed: exactOptional(flag),
});

export const sheet = strictObject({
  id,
  started_at: time,
  source: nullable(id),
  sampled,
  sampled_at: nullable(time),
  tube: nullable(id),
  temperature: nullable(celsius),
  temperature_measured: flag,
  water_temperature: exactOptional(nullable(celsius)),
  water_temperature_measured: exactOptional(flag),
  fuel_temperature: exactOptional(nullable(celsius)),
  fuel_temperature_measured: exactOptional(flag),
  fuel_water,
  settle_minutes,
  runs: listOf(sheetRun, 9),
  note: anyText(1000),
  photos: listOf(digest, 6),
  shared: flag,
  unshared_photos: exactOptional(listOf(digest, 9)),
  cautions_read: flag,
  at: exactOptional(nullable(anyText(20))),
});

/** The picture's bytes as base64 (RFC 4648). */
export const photo = strictObject({
  digest,
  type: oneOf("image/jpeg", "image/png", "image/webp"),
  bytes: matching(/^[A-Za-z0-9+/]+={0,2}$/),
  width: whole,
  height: whole,
  made_at: time,
  state: oneOf("private", "waiting", "sent", "refused"),
  problem: anyText(2000),
});
