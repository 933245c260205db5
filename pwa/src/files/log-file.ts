/**
 * The log as a file: own tests with their revisions, the sources they name, tubes, plans, cans, the tank, settings, the run
 * sheet, and the photos where they are wanted. A recovery file is the same with the secret, which makes another phone the same
 * contributor.
 */

import { sha256, toHex } from "../ids";
import type { Carried } from "../store/carry";
import type { PlanRow } from "../store/plan-row";
import type { CanRow, Draft, OwnTest, PhotoRow, Settings, SourceRow, Tank, TubeRow } from "../store/schema";
import { wholeTube } from "../store/tube-row";
import { fromBase64, toBase64 } from "./base64";
import { ownTest, source, tubeRow } from "./log-shapes";
import { can, language, photo, plan, settings, sheet, tank } from "./private-shapes";
import { type Check, matching, orNull } from "./shapes";

const FORMAT = "splitline log";
const VERSION = 4;
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
  const photos = carried.photos.map((row) => ({ ...row, bytes: toBase64(row.bytes) }));
  const head = { format: FORMAT, version: VERSION, written_at: now.toISOString(), ...who };
  return JSON.stringify({ ...head, ...carried, photos }, null, 1);
}

/** The lists of a file and what each of their rows must be. */
const LISTS: readonly (readonly [name: string, check: Check])[] = [
  ["tests", ownTest],
  ["sources", source],
  ["tubes", tubeRow],
  ["plans", plan],
  ["cans", can],
  ["photos", photo],
];
const PARTS: readonly (readonly [name: string, check: Check])[] = [
  ["tank", orNull(tank)],
  ["settings", orNull(settings)],
  ["sheet", orNull(sheet)],
  ["language", orNull(language)],
  ["secret", orNull(matching(/^[0-9a-f]{64}$/))],
];
/** What files of earlier versions lack. */
const LATER = { plans: [], cans: [], tank: null, settings: null, sheet: null, language: null, photos: [] };

type Found = Record<string, unknown>;

/** The file's content when all of it is sound; also that of an earlier version, which lacks what came since. */
export async function readLog(text: string): Promise<LogFile | FileFault> {
  const parsed = parse(text);
  if (typeof parsed !== "object" || parsed === null) return { code: "not_json", where: "" };
  const { format, version } = parsed as Found;
  if (format !== FORMAT || typeof version !== "number") return { code: "not_a_log", where: "" };
  if (version > VERSION) return { code: "newer", where: String(version) };
  const found: Found = { ...LATER, ...parsed };
  const where = firstBad(found);
  if (where !== null) return { code: "damaged", where };
  const photos = (found.photos as (PhotoRow & { bytes: string })[]).map(withBytes);
  const wrong = await firstWrong(photos);
  if (wrong >= 0) return { code: "damaged", where: `photos[${wrong}]` };
  return {
    format: FORMAT,
    version: VERSION,
    written_at: String(found.written_at),
    contributor: String(found.contributor),
    secret: found.secret as string | null,
    tests: found.tests as OwnTest[],
    sources: found.sources as SourceRow[],
    tubes: (found.tubes as TubeRow[]).map(wholeTube),
    plans: found.plans as PlanRow[],
    cans: found.cans as CanRow[],
    tank: found.tank as Tank | null,
    settings: found.settings as Partial<Settings> | null,
    sheet: found.sheet as Draft | null,
    language: found.language as string | null,
    photos,
  };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** The first list, row or part that is not what it must be. */
function firstBad(found: Found): string | null {
  for (const [name, check] of LISTS) {
    const list = found[name];
    if (!Array.isArray(list) || list.length > MOST) return name;
    const at = list.findIndex((one) => !check(one));
    if (at >= 0) return `${name}[${at}]`;
  }
  return PARTS.find(([name, check]) => !check(found[name]))?.[0] ?? null;
}

function withBytes(row: PhotoRow & { bytes: string }): PhotoRow {
  return { ...row, bytes: fromBase64(row.bytes) };
}

/** The first picture that is not the one its digest names, or -1. */
async function firstWrong(photos: PhotoRow[]): Promise<number> {
  for (const [at, row] of photos.entries()) if (toHex(await sha256(row.bytes)) !== row.digest) return at;
  return -1;
}
