/** The shapes of the rows in a log file, field by field. Files of earlier versions lack the optional fields. */

import { exactOptional as later, nullable, strictObject, union } from "valibot";
import { LIQUIDS, SCALES } from "../records";
import {
  anyText,
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

/** The most marks a record can have, and more changes than anybody makes. */
const MOST_MARKS = 24;
const MOST_CHANGES = 10_000;

export const mL = within(0, 2000);
export const celsius = within(-20, 40);

const problem = strictObject({
  code: anyText(80),
  field: anyText(200),
  value: anyText(2000),
  limit: anyText(2000),
  sentence: anyText(2000),
});

const sync = strictObject({
  state: oneOf("private", "imported", "needs_position", "waiting", "sent", "held", "refused"),
  problems: listOf(problem, 100),
  revision: nullable(whole),
  answered_at: nullable(time),
});

const scale = oneOf(...SCALES);
const liquid = oneOf(...LIQUIDS);
const number = within(-1e6, 1e6);
const offset = within(-15, 15);
const offset_uncertainty = within(0, 30);

const tubeFields = {
  id,
  scale,
  graduation: within(Number.MIN_VALUE, 50),
  liquid,
  tolerance: nullable(within(0, 50)),
  offset: later(offset),
  offset_uncertainty: later(offset_uncertainty),
  offset_content: later(nullable(percent)),
};

const tube = strictObject({
  ...tubeFields,
  calibration: later(listOf(strictObject({ nominal: mL, true: mL }), MOST_MARKS)),
});

const weighedMark = strictObject({
  nominal: mL,
  true: mL,
  mass: within(0, 3000),
  temperature: celsius,
  resolution: within(0, 100),
  weighed_at: time,
});

const knownSample = strictObject({
  test: id,
  known: percent,
  known_uncertainty: uncertainty,
  measured: percent,
  measured_uncertainty: uncertainty,
  taken_at: time,
});

const heightCheck = strictObject({
  kind: oneOf("linear", "corrected", "cannot_tell"),
  linear_misfit: number,
  corrected_misfit: number,
  water_height: number,
  fuel_height: number,
  marks: listOf(strictObject({ percent, height: number }), MOST_MARKS),
  checked_at: time,
});

const at = time;
const tubeChange = union([
  strictObject({ at, what: oneOf("scale"), before: scale, after: scale }),
  strictObject({ at, what: oneOf("liquid"), before: liquid, after: liquid }),
  strictObject({
    at,
    what: oneOf("graduation", "tolerance", "water_mark", "fuel_mark"),
    before: nullable(number),
    after: nullable(number),
  }),
  strictObject({ at, what: oneOf("weighed", "weighing_dropped"), mark: weighedMark }),
  strictObject({ at, what: oneOf("scale_checked"), check: heightCheck }),
  strictObject({ at, what: oneOf("offset_taken", "offset_dropped"), sample: knownSample, offset, offset_uncertainty }),
  strictObject({ at, what: oneOf("recomputed"), tests: whole }),
]);

export const tubeRow = strictObject({
  ...tubeFields,
  name: anyText(200),
  water_mark: mL,
  fuel_mark: mL,
  made_at: time,
  put_away: flag,
  calibration: later(listOf(weighedMark, MOST_MARKS)),
  sample: later(nullable(knownSample)),
  scale_checks: later(listOf(heightCheck, MOST_CHANGES)),
  history: later(listOf(tubeChange, MOST_CHANGES)),
});

const point = strictObject({ x: within(0, 20_000), y: within(0, 20_000) });
export const photoMarks = strictObject({
  photo: digest,
  bottom_volume: mL,
  bottom: point,
  water: point,
  fuel: point,
  line: point,
});

const run = strictObject({
  water: mL,
  fuel: mL,
  line: nullable(mL),
  percent: nullable(percent),
  top: nullable(mL),
  line_half_width: later(nullable(mL)),
  marks: later(nullable(photoMarks)),
  tube: later(nullable(tube)),
  set_aside: later(anyText(200)),
});

const sealedTest = strictObject({
  kind: oneOf("test"),
  id,
  revision: whole,
  source: id,
  sampled: oneOf("pump", "can", "tank"),
  sampled_at: time,
  tested_at: time,
  tube,
  temperature: celsius,
  temperature_measured: flag,
  water_temperature: later(nullable(celsius)),
  water_temperature_measured: later(flag),
  fuel_temperature: later(nullable(celsius)),
  fuel_temperature_measured: later(flag),
  fuel_water: within(0, 10),
  model: later(whole),
  runs: listOf(run, 9, 1),
  content: percent,
  expanded_uncertainty: within(Number.MIN_VALUE, 100),
  note: anyText(1000),
  photos: listOf(digest, 6),
});

const contributor = matching(/^[0-9a-f]{16}$/);

export const ownTest = strictObject({
  id,
  source: id,
  tested_at: time,
  test: sealedTest,
  earlier: listOf(sealedTest, MOST_CHANGES),
  own_uncertainty: uncertainty,
  shared_uncertainty: uncertainty,
  shared: flag,
  unshared_photos: later(listOf(digest, 6)),
  retracted: flag,
  kept_at: time,
  sync,
  server_content: nullable(percent),
  server_uncertainty: nullable(uncertainty),
  author: later(contributor),
  replaced: later(listOf(strictObject({ revision: whole, at: time }), MOST_CHANGES)),
  clock_behind: later(nullable(within(-1e15, 1e15))),
});

export const source = strictObject({
  id,
  revision: whole,
  name: anyText(80, 1),
  latitude: nullable(within(-90, 90)),
  longitude: nullable(within(-180, 180)),
  recorded_at: time,
  subdivision: nullable(anyText(6)),
  pump: anyText(40),
  notes: anyText(500),
  own: flag,
  region: nullable(anyText(6)),
  contributor: nullable(anyText(16)),
  sync: nullable(sync),
  retracting: later(flag),
});
