/** What a log file holds beside tests, sources and tubes: what never leaves the phone otherwise. */

import { SPECIFICATIONS } from "../chemistry/meaning";
import { MOST_WEEKS } from "../plan";
import type { Settings } from "../store/schema";
import { mL, photoMarks } from "./log-shapes";
import {
  anyText,
  type Check,
  day,
  digest,
  fields,
  flag,
  id,
  listOf,
  matching,
  oneOf,
  orNull,
  percent,
  time,
  uncertainty,
  whole,
  within,
} from "./shapes";

/** L: more than any tank or can that people carry. */
const litres = within(0, 10_000);
const region = matching(/^[A-Z]{2}(-[A-Z0-9]{1,3})?$/);

export const plan = fields({ source: id, first_day: day, weeks: within(1, MOST_WEEKS), made_at: time });

export const can = fields({
  id,
  name: anyText(80),
  capacity: orNull(litres),
  volume: litres,
  content: orNull(percent),
  expanded_uncertainty: orNull(uncertainty),
  source: orNull(id),
  test: orNull(id),
  tested_at: orNull(time),
  filled_at: time,
  opened_humid_at: orNull(time),
  retest_days: within(1, 3650),
  emptied_at: orNull(time),
});

export const tank = fields({
  capacity: orNull(litres),
  volume: orNull(litres),
  content: orNull(percent),
  expanded_uncertainty: orNull(uncertainty),
  changed_at: time,
});

/** Every setting has its check; a file may lack any of them. */
const setting: Record<keyof Settings, Check> = {
  temperature_unit: oneOf("C", "F"),
  volume_unit: oneOf("L", "gal"),
  distance_unit: oneOf("km", "mi"),
  own_minimum: orNull(within(0, 100)),
  specification: orNull(oneOf(...SPECIFICATIONS.map(({ code }) => code))),
  server: matching(/^$|^https:\/\/[^\s/]{1,200}$|^http:\/\/(localhost|127\.0\.0\.1)(:\d{1,5})?$/),
  share: flag,
  look: oneOf("auto", "light", "dark", "sunlight"),
  settle_minutes: within(1, 120),
  fuel_water: within(0, 10),
  tube: orNull(id),
  sampled: orNull(oneOf("pump", "can", "tank")),
  regions: listOf(region, 90),
};

export const settings = fields({}, setting);

/** A choice of a language, as its tag (BCP 47). */
export const language = matching(/^[a-z]{2,3}(-[A-Za-z0-9]{1,8}){0,3}$/);

const sheetRun = fields({
  water: orNull(mL),
  fuel: orNull(mL),
  shaken: flag,
  settle_until: orNull(within(0, 1e15)),
  line: orNull(mL),
  percent: orNull(percent),
  top: orNull(mL),
  line_half_width: orNull(mL),
  marks: orNull(photoMarks),
  photo: orNull(digest),
});

export const sheet = fields({
  id,
  started_at: time,
  source: orNull(id),
  sampled: setting.sampled,
  sampled_at: orNull(time),
  tube: orNull(id),
  temperature: orNull(within(-20, 40)),
  temperature_measured: flag,
  fuel_water: setting.fuel_water,
  settle_minutes: setting.settle_minutes,
  runs: listOf(sheetRun, 9),
  note: anyText(1000),
  photos: listOf(digest, 6),
  shared: flag,
  cautions_read: flag,
});

/** The picture's bytes as base64 (RFC 4648). */
export const photo = fields({
  digest,
  type: oneOf("image/jpeg", "image/png", "image/webp"),
  bytes: matching(/^[A-Za-z0-9+/]+={0,2}$/),
  width: whole,
  height: whole,
  made_at: time,
  state: oneOf("private", "waiting", "sent", "refused"),
  problem: anyText(2000),
});
