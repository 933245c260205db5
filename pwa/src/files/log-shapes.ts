/** The rows that a log file holds, field by field. */

import {
  anyOf,
  anyText,
  type Check,
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

/** As many marks as a record carries, and as many changes as nobody makes. */
const MOST_MARKS = 24;
const MOST_CHANGES = 10_000;

export const mL = within(0, 2000);

const problem = fields({
  code: anyText(80),
  field: anyText(200),
  value: anyText(2000),
  limit: anyText(2000),
  sentence: anyText(2000),
});

const sync = fields({
  state: oneOf("private", "imported", "needs_position", "waiting", "sent", "held", "refused"),
  problems: listOf(problem, 100),
  revision: orNull(whole),
  answered_at: orNull(time),
});

const scale = oneOf("volume", "linear", "corrected", "unknown");
const liquid = oneOf("water", "brine");
const number = within(-1e6, 1e6);

const tubeFields = {
  id,
  scale,
  graduation: within(Number.MIN_VALUE, 50),
  liquid,
  tolerance: orNull(within(0, 50)),
};

const offsetFields = { offset: within(-15, 15), offset_uncertainty: within(0, 30) };

const tube = fields(tubeFields, {
  ...offsetFields,
  calibration: listOf(fields({ nominal: mL, true: mL }), MOST_MARKS),
});

const weighedMark = fields({
  nominal: mL,
  true: mL,
  mass: within(0, 3000),
  temperature: within(-20, 40),
  resolution: within(0, 100),
  weighed_at: time,
});

const knownSample = fields({
  test: id,
  known: percent,
  known_uncertainty: uncertainty,
  measured: percent,
  measured_uncertainty: uncertainty,
  taken_at: time,
});

const heightCheck = fields({
  kind: oneOf("linear", "corrected", "cannot_tell"),
  linear_misfit: number,
  corrected_misfit: number,
  water_height: number,
  fuel_height: number,
  marks: listOf(fields({ percent, height: number }), MOST_MARKS),
  checked_at: time,
});

const change = (what: string[], more: Record<string, Check>) => fields({ at: time, what: oneOf(...what), ...more });

const tubeChange = anyOf(
  change(["scale"], { before: scale, after: scale }),
  change(["liquid"], { before: liquid, after: liquid }),
  change(["graduation", "tolerance", "water_mark", "fuel_mark"], { before: orNull(number), after: orNull(number) }),
  change(["weighed", "weighing_dropped"], { mark: weighedMark }),
  change(["scale_checked"], { check: heightCheck }),
  change(["offset_taken", "offset_dropped"], { sample: knownSample, ...offsetFields }),
  change(["recomputed"], { tests: whole }),
);

export const tubeRow = fields(
  { ...tubeFields, name: anyText(200), water_mark: mL, fuel_mark: mL, made_at: time, put_away: flag },
  {
    ...offsetFields,
    calibration: listOf(weighedMark, MOST_MARKS),
    sample: orNull(knownSample),
    scale_checks: listOf(heightCheck, MOST_CHANGES),
    history: listOf(tubeChange, MOST_CHANGES),
  },
);

const point = fields({ x: within(0, 20_000), y: within(0, 20_000) });
export const photoMarks = fields({
  photo: digest,
  bottom_volume: mL,
  bottom: point,
  water: point,
  fuel: point,
  line: point,
});

const run = fields(
  { water: mL, fuel: mL, line: orNull(mL), percent: orNull(percent), top: orNull(mL) },
  { line_half_width: orNull(mL), marks: orNull(photoMarks) },
);

const sealedTest = fields({
  kind: oneOf("test"),
  id,
  revision: whole,
  source: id,
  sampled: oneOf("pump", "can", "tank"),
  sampled_at: time,
  tested_at: time,
  tube,
  temperature: within(-20, 40),
  temperature_measured: flag,
  fuel_water: within(0, 10),
  runs: listOf(run, 9, 1),
  content: percent,
  expanded_uncertainty: within(Number.MIN_VALUE, 100),
  note: anyText(1000),
  photos: listOf(digest, 6),
});

const contributor = matching(/^[0-9a-f]{16}$/);

export const ownTest = fields(
  {
    id,
    source: id,
    tested_at: time,
    test: sealedTest,
    earlier: listOf(sealedTest, 10_000),
    own_uncertainty: uncertainty,
    shared_uncertainty: uncertainty,
    shared: flag,
    retracted: flag,
    kept_at: time,
    sync,
    server_content: orNull(percent),
    server_uncertainty: orNull(uncertainty),
  },
  { author: contributor, clock_behind: orNull(within(-1e15, 1e15)) },
);

export const source = fields(
  {
    id,
    revision: whole,
    name: anyText(80, 1),
    latitude: orNull(within(-90, 90)),
    longitude: orNull(within(-180, 180)),
    recorded_at: time,
    subdivision: orNull(anyText(6)),
    pump: anyText(40),
    notes: anyText(500),
    own: flag,
    region: orNull(anyText(6)),
    contributor: orNull(anyText(16)),
    sync: orNull(sync),
  },
  { retracting: flag },
);
