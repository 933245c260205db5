/** Invented records for the tests. */

import { newId } from "@/ids";
import type { Answer, Change, Source, SourceChange, Test, TestChange } from "@/records";
import type { OutboxEntry, SealedTest } from "@/rows/test";
import type { TubeRow } from "@/rows/tube";
import { recordOf, wholeTube } from "@/rows/tube";
import type { SourceEntry } from "@/store/sources";
import type { NewTest } from "@/store/tests";

export const NOW = new Date("2026-03-12T14:05:00Z");

export function entry(change: Partial<SourceEntry> = {}): SourceEntry {
  return { name: "Col du Frene", pump: "3", notes: "", latitude: 45.31, longitude: 2.52, subdivision: null, ...change };
}

/** A tube in millilitres, 50 mL + 50 mL. */
export function tubeRow(change: Partial<TubeRow> = {}): TubeRow {
  return wholeTube({
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
    ...change,
  });
}

export function sealed(source: string, change: Partial<SealedTest> = {}): SealedTest {
  return {
    kind: "test",
    id: newId(),
    revision: 1,
    source,
    sampled: "pump",
    sampled_at: "2026-03-12T13:30:00+01:00",
    tested_at: "2026-03-12T14:00:00+01:00",
    tube: recordOf(tubeRow()),
    temperature: 20,
    temperature_measured: true,
    fuel_water: 0.5,
    runs: [{ water: 50, fuel: 50, line: 88.5, percent: null, top: null, line_half_width: null, marks: null }],
    content: 83,
    expanded_uncertainty: 1.9,
    model: 2,
    note: "",
    photos: [],
    ...change,
  };
}

export function keeping(source: string, change: Partial<SealedTest> = {}, shared = true): NewTest {
  return { test: sealed(source, change), own_uncertainty: 0.8, shared_uncertainty: 0.4, shared };
}

/** A server's answer to an accepted record. */
export function stored(entry: Pick<OutboxEntry, "id" | "kind" | "revision">): Answer {
  const { id, kind, revision } = entry;
  return {
    id,
    kind,
    revision,
    status: "stored",
    problems: [],
    content: 83,
    expanded_uncertainty: 1.9,
    region: "FR-63",
  };
}

export function refused(entry: Pick<OutboxEntry, "id" | "kind" | "revision">): Answer {
  const problem = {
    code: "line_below_water",
    field: "runs[0].line",
    value: "40",
    limit: "50",
    sentence: "The line is below the water mark.",
  };
  return { ...stored(entry), status: "refused", problems: [problem], content: null, expanded_uncertainty: null };
}

export const STRANGER = "00112233445566ff";

export function pulledSource(sequence: number, change: Partial<Source> = {}): SourceChange & { record: Source } {
  const record: Source = {
    kind: "source",
    id: newId(),
    revision: 1,
    name: "Pas des Genets",
    latitude: 45.1,
    longitude: 2.9,
    recorded_at: "2026-03-01T10:00:00Z",
    subdivision: null,
    pump: "",
    notes: "",
    ...change,
  };
  const { id, revision } = record;
  return { ...envelope(sequence), kind: "source", id, revision, into: null, record, figures: null };
}

export function pulledTest(
  sequence: number,
  source: string,
  change: Partial<Test> = {},
): TestChange & { record: Test } {
  const record: Test = { ...sealed(source), consent: "CC0-1.0", ...change };
  const figures = {
    content: record.content,
    expanded_uncertainty: 1.9,
    own_uncertainty: 0.8,
    shared_uncertainty: 0.4,
    coverage_factor: 2,
    model: 2,
    former: null,
  };
  return { ...envelope(sequence), kind: "test", id: record.id, revision: record.revision, record, figures };
}

function envelope(sequence: number) {
  const received_at = "2026-03-12T15:00:00Z";
  return {
    sequence,
    retracted: false,
    region: "FR-63",
    contributor: STRANGER,
    received_at,
    state: "counted",
    flags: [],
  } as const satisfies Partial<Change>;
}
