/**
 * The log as a table, RFC 4180: one row per run, units in the header. An apostrophe disarms text that a spreadsheet
 * would run as a formula.
 */

import type { PhotoMarks, Place, Tube } from "../records";
import type { SourceRow } from "../rows/source";
import type { OwnTest } from "../rows/test";
import type { LogContent } from "../store/transfer";

type Cell = string | number | boolean | null;

const COLUMNS: readonly [name: string, value: (of: Line) => Cell][] = [
  ["test", ({ row }) => row.id],
  ["revision", ({ row }) => row.test.revision],
  ["retracted", ({ row }) => row.retracted],
  ["shared", ({ row }) => row.shared],
  ["source", ({ row }) => row.source],
  ["source_name", ({ source }) => source?.name ?? ""],
  ["pump", ({ source }) => source?.pump ?? ""],
  ["latitude_deg", ({ source }) => source?.latitude ?? null],
  ["longitude_deg", ({ source }) => source?.longitude ?? null],
  ["sampled", ({ row }) => row.test.sampled],
  ["sampled_at", ({ row }) => row.test.sampled_at],
  ["tested_at", ({ row }) => row.test.tested_at],
  ["scale", (line) => tubeOf(line).scale],
  ["graduation", (line) => tubeOf(line).graduation],
  ["liquid", (line) => tubeOf(line).liquid],
  ["tolerance_mL", (line) => tubeOf(line).tolerance],
  ["calibration_mL", (line) => calibrationText(tubeOf(line))],
  ["tube_offset_percent", (line) => tubeOf(line).offset ?? 0],
  ["tube_offset_expanded_uncertainty_percent", (line) => tubeOf(line).offset_uncertainty ?? 0],
  ["tube_offset_known_content_percent", (line) => tubeOf(line).offset_content ?? null],
  ["temperature_C", ({ row }) => row.test.temperature],
  ["temperature_measured", ({ row }) => row.test.temperature_measured],
  ["water_temperature_C", ({ row }) => row.test.water_temperature ?? null],
  ["water_temperature_measured", ({ row }) => row.test.water_temperature_measured ?? false],
  ["fuel_temperature_C", ({ row }) => row.test.fuel_temperature ?? null],
  ["fuel_temperature_measured", ({ row }) => row.test.fuel_temperature_measured ?? false],
  ["fuel_water_percent", ({ row }) => row.test.fuel_water],
  ["run", ({ at }) => at + 1],
  ["water_mL", ({ row, at }) => row.test.runs[at]?.water ?? null],
  ["fuel_mL", ({ row, at }) => row.test.runs[at]?.fuel ?? null],
  ["line_mL", ({ row, at }) => row.test.runs[at]?.line ?? null],
  ["line_percent", ({ row, at }) => row.test.runs[at]?.percent ?? null],
  ["line_half_width_mL", ({ row, at }) => row.test.runs[at]?.line_half_width ?? null],
  ["top_mL", ({ row, at }) => row.test.runs[at]?.top ?? null],
  ["set_aside", ({ row, at }) => row.test.runs[at]?.set_aside ?? ""],
  ["marked_photo", (line) => marksOf(line)?.photo ?? null],
  ["bottom_mark_mL", (line) => marksOf(line)?.bottom_volume ?? null],
  ["bottom_mark_px", (line) => pointText(marksOf(line)?.bottom)],
  ["water_mark_px", (line) => pointText(marksOf(line)?.water)],
  ["fuel_mark_px", (line) => pointText(marksOf(line)?.fuel)],
  ["line_px", (line) => pointText(marksOf(line)?.line)],
  ["content_percent", ({ row }) => row.test.content],
  ["expanded_uncertainty_percent", ({ row }) => row.test.expanded_uncertainty],
  ["model", ({ row }) => row.test.model ?? 1],
  ["note", ({ row }) => row.test.note],
];

interface Line {
  row: OwnTest;
  source: SourceRow | undefined;
  at: number;
}

export function writeCsv({ tests, sources }: Pick<LogContent, "tests" | "sources">): string {
  const byId = new Map(sources.map((source) => [source.id, source]));
  const lines = tests.flatMap((row) => row.test.runs.map((_, at) => ({ row, source: byId.get(row.source), at })));
  const head = COLUMNS.map(([name]) => name);
  const rows = lines.map((line) => COLUMNS.map(([, value]) => cell(value(line))));
  return [head, ...rows].map((row) => `${row.join(",")}\r\n`).join("");
}

/** Marks and the volumes weighed at them: `50=49.7 100=99.2`. */
function calibrationText({ calibration = [] }: Tube): string {
  return calibration.map((mark) => `${mark.nominal}=${mark.true}`).join(" ");
}

/** A point of the photo, `412 889`; an empty cell without marks. */
function pointText(point: Place | undefined): Cell {
  return point === undefined ? null : `${point.x} ${point.y}`;
}

/** The tube of the line's run. */
function tubeOf({ row, at }: Line): Tube {
  return row.test.runs[at]?.tube ?? row.test.tube;
}

function marksOf({ row, at }: Line): PhotoMarks | null {
  return row.test.runs[at]?.marks ?? null;
}

/** One field: numbers as they are, text that cannot run as a formula, quoted where necessary. */
export function cell(value: Cell): string {
  if (value === null) return "";
  if (typeof value !== "string") return String(value);
  const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}
