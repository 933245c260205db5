/** The sheet that corrects a saved test, filled in from the test. */

import { EMPTY_RUN } from "../../model/progress";
import type { Draft, DraftRun } from "../../rows/draft";
import type { Settings } from "../../rows/settings";
import type { OwnTest, SealedTest } from "../../rows/test";
import type { TubeRow } from "../../rows/tube";
import { newDraft } from "../../store/drafts";

/** tubes: those of this phone; if a tube is not among them, it must be chosen again. */
export function correctionOf(
  { test, shared, unshared_photos = [] }: OwnTest,
  tubes: readonly TubeRow[],
  settings: Settings,
): Draft {
  const known = (id: string | undefined) => tubes.find((tube) => tube.id === id)?.id ?? null;
  const photos = photosByRun(test);
  const runs = test.runs.map((run, index) => ({
    ...asDraftRun(run, test),
    tube: known(run.tube?.id),
    photo: photos[index] ?? null,
  }));
  const own = new Set(photos);
  return {
    ...newDraft(settings, new Date(test.tested_at), test.id),
    source: test.source,
    sampled: test.sampled,
    sampled_at: test.sampled_at,
    tube: known(test.tube.id),
    ...temperaturesOn(test),
    fuel_water: test.fuel_water,
    runs,
    note: test.note,
    photos: test.photos.filter((digest) => own.has(digest)),
    shared,
    unshared_photos,
    cautions_read: true,
    corrects: {
      tested_at: test.tested_at,
      shared,
      warmer: test.temperature - (test.water_temperature ?? test.temperature),
      loose: test.photos.filter((digest) => !own.has(digest)),
    },
  };
}

function asDraftRun({ tube: _, ...run }: SealedTest["runs"][number], test: SealedTest): DraftRun {
  const { water, fuel, line, percent, top, line_half_width = null, marks = null, set_aside } = run;
  const isMeasured = test.temperature_measured && (test.water_temperature ?? null) !== null;
  const temperature = isMeasured ? test.temperature : null;
  // Settled long ago: the record does not say when.
  const done = { shaken: true, settle_until: 0, confirmed: true };
  const read = { water, fuel, line, percent, top, line_half_width, marks, temperature };
  return { ...EMPTY_RUN, ...done, ...read, ...(set_aside && { set_aside }) };
}

function temperaturesOn(test: SealedTest) {
  const { temperature, water_temperature = null, fuel_temperature = null } = test;
  return {
    // A test of an earlier version has one temperature for everything.
    temperature: water_temperature === null ? temperature : null,
    temperature_measured: test.temperature_measured,
    water_temperature,
    water_temperature_measured: test.water_temperature_measured ?? false,
    fuel_temperature,
    fuel_temperature_measured: test.fuel_temperature_measured ?? false,
  };
}

/** The photo of each run: marks name theirs, the others follow in the order in which they were added. */
function photosByRun({ runs, photos }: SealedTest): (string | undefined)[] {
  const marked = runs.map((run) => run.marks?.photo);
  const left = photos.filter((digest) => !marked.includes(digest));
  return marked.map((photo) => photo ?? left.shift());
}
