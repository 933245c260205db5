/**
 * The log as a file: own tests with their revisions, the sources they name, the tubes. A recovery file is the same
 * with the secret, which makes another phone the same contributor. Photos stay on the phone and the server.
 */

import type { Carried } from "../store/carry";
import type { OwnTest, SourceRow, TubeRow } from "../store/schema";
import { wholeTube } from "../store/tube-row";
import { ownTest, source, tubeRow } from "./log-shapes";
import { type Check, matching, orNull } from "./shapes";

const FORMAT = "splitline log";
const VERSION = 2;
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

/** The file's content when all of it is sound; also that of an earlier version, which lacks what came since. */
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
    tubes: (tubes as TubeRow[]).map(wholeTube),
  };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function firstBad(name: string, list: unknown, check: Check): string | undefined {
  if (!Array.isArray(list) || list.length > MOST) return name;
  const at = list.findIndex((one) => !check(one));
  return at < 0 ? undefined : `${name}[${at}]`;
}
