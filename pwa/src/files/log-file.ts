/**
 * The log as a file: own tests with their revisions, the sources they name, the tubes. A recovery file is the same
 * with the secret, which makes another phone the same contributor. Photos stay on the phone and the server.
 */

import type { Carried } from "../store/carry";
import type { OwnTest, SourceRow, TubeRow } from "../store/schema";
import type * as shapes from "./shapes";
import { anyText, fields, flag, listOf, matching, oneOf, orNull, time, whole, within } from "./shapes";

const FORMAT = "splitline log";
const VERSION = 1;
/** More than any phone holds; a larger file is something else. */
const MOST = 100_000;

export interface LogFile extends Carried {
  format: typeof FORMAT;
  version: typeof VERSION;
  written_at: string;
  contributor: string;
  /** Only in a recovery file. */
  secret: string | null;
}

/** What is wrong with a file: not JSON, not such a file, or the place of the first thing that does not fit. */
export interface FileFault {
  code: "not_json" | "not_a_log" | "newer" | "damaged";
  where: string;
}

export function writeLog(carried: Carried, who: { contributor: string; secret: string | null }, now: Date): string {
  const file: LogFile = { format: FORMAT, version: VERSION, written_at: now.toISOString(), ...who, ...carried };
  return JSON.stringify(file, null, 1);
}

/** The file's content when all of it is sound. */
export function readLog(text: string): LogFile | FileFault {
  const found = parse(text);
  if (typeof found !== "object" || found === null) return { code: "not_json", where: "" };
  const { format, version, tests, sources, tubes, contributor, secret, written_at } = found as Record<string, unknown>;
  if (format !== FORMAT || typeof version !== "number") return { code: "not_a_log", where: "" };
  if (version > VERSION) return { code: "newer", where: String(version) };
  const where =
    firstBad("tests", tests, ownTest) ?? firstBad("sources", sources, source) ?? firstBad("tubes", tubes, tubeRow);
  if (where !== undefined) return { code: "damaged", where };
  if (!orNull(matching(/^[0-9a-f]{64}$/))(secret)) return { code: "damaged", where: "secret" };
  return {
    format: FORMAT,
    version: VERSION,
    written_at: String(written_at),
    contributor: String(contributor),
    secret: secret as string | null,
    tests: tests as OwnTest[],
    sources: sources as SourceRow[],
    tubes: tubes as TubeRow[],
  };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function firstBad(name: string, list: unknown, check: shapes.Check): string | undefined {
  if (!Array.isArray(list) || list.length > MOST) return name;
  const at = list.findIndex((one) => !check(one));
  return at < 0 ? undefined : `${name}[${at}]`;
}

const id = matching(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
const digest = matching(/^[0-9a-f]{64}$/);
const mL = within(0, 2000);

const problem = fields({
  code: anyText(80),
  field: anyText(200),
  value: anyText(2000),
  limit: anyText(2000),
  sentence: anyText(2000),
});

const sync = fields({
  state: oneOf("private", "needs_position", "waiting", "sent", "held", "refused"),
  problems: listOf(problem, 100),
  revision: orNull(whole),
  answered_at: orNull(time),
});

const tubeFields = {
  id,
  scale: oneOf("volume", "linear", "corrected", "unknown"),
  graduation: within(Number.MIN_VALUE, 50),
  liquid: oneOf("water", "brine"),
  tolerance: orNull(within(0, 50)),
};

const tubeRow = fields({
  ...tubeFields,
  name: anyText(200),
  water_mark: mL,
  fuel_mark: mL,
  made_at: time,
  put_away: flag,
});

const run = fields({
  water: mL,
  fuel: mL,
  line: orNull(mL),
  percent: orNull(within(-50, 150)),
  top: orNull(mL),
});

const sealedTest = fields({
  kind: oneOf("test"),
  id,
  revision: whole,
  source: id,
  sampled: oneOf("pump", "can", "tank"),
  sampled_at: time,
  tested_at: time,
  tube: fields(tubeFields),
  temperature: within(-20, 40),
  temperature_measured: flag,
  fuel_water: within(0, 10),
  runs: listOf(run, 9, 1),
  content: within(-50, 150),
  expanded_uncertainty: within(Number.MIN_VALUE, 100),
  note: anyText(1000),
  photos: listOf(digest, 6),
});

const ownTest = fields({
  id,
  source: id,
  tested_at: time,
  test: sealedTest,
  earlier: listOf(sealedTest, 10_000),
  own_uncertainty: within(0, 100),
  shared_uncertainty: within(0, 100),
  shared: flag,
  retracted: flag,
  kept_at: time,
  sync,
  server_content: orNull(within(-50, 150)),
  server_uncertainty: orNull(within(0, 100)),
});

const source = fields({
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
});
