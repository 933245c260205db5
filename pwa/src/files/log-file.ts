/**
 * The log as a file: own tests with their revisions, the sources they name, tubes, plans, stars, cans, vehicles,
 * settings, the run sheet and, if wanted, the photos. A recovery file also has the secret, which makes another phone
 * the same contributor.
 */

import { type InferIssue, type InferOutput, nullable, object, safeParse } from "valibot";
import { sha256, toHex } from "../ids";
import type { PhotoRow } from "../rows/photo";
import { wholeTube } from "../rows/tube";
import { firstVehicle } from "../rows/vehicle";
import type { LogContent } from "../store/transfer";
import { fromBase64, toBase64 } from "./base64";
import { ownTest, source, tubeRow } from "./log-shapes";
import { can, fill, language, photo, plan, settings, sheet, star, tank, vehicles } from "./private-shapes";
import { listOf, matching } from "./shapes";

const FORMAT = "splitline log";
const VERSION = 6;
/** More than any phone has; a larger file is something else. */
const MOST = 100_000;

export interface LogFile extends LogContent {
  format: typeof FORMAT;
  version: typeof VERSION;
  written_at: string;
  contributor: string;
  /** Only in a recovery file. */
  secret: string | null;
}

/** What is wrong with a file: not JSON, not a log, or the path of the first thing that is invalid. */
export interface FileFault {
  code: "not_json" | "not_a_log" | "newer" | "damaged";
  where: string;
}

export function writeLog(log: LogContent, who: { contributor: string; secret: string | null }, now: Date): string {
  const photos = log.photos.map((row) => ({ ...row, bytes: toBase64(row.bytes) }));
  const head = { format: FORMAT, version: VERSION, written_at: now.toISOString(), ...who };
  return JSON.stringify({ ...head, ...log, photos }, null, 1);
}

/** The content of a file, in the order in which it is checked. */
const content = object({
  tests: listOf(ownTest, MOST),
  sources: listOf(source, MOST),
  tubes: listOf(tubeRow, MOST),
  plans: listOf(plan, MOST),
  stars: listOf(star, MOST),
  cans: listOf(can, MOST),
  fills: listOf(fill, MOST),
  photos: listOf(photo, MOST),
  tank: nullable(tank),
  vehicles: nullable(vehicles),
  settings: nullable(settings),
  sheet: nullable(sheet),
  language: nullable(language),
  secret: nullable(matching(/^[0-9a-f]{64}$/)),
});
/** Parts that files of earlier versions do not have. */
const LATER = {
  plans: [],
  stars: [],
  cans: [],
  fills: [],
  vehicles: null,
  settings: null,
  sheet: null,
  language: null,
  photos: [],
};
/** Parts that only files of earlier versions have. */
const FORMER = { tank: null };

/** The file's content if all of it is valid; files of earlier versions get defaults for newer parts. */
export async function readLog(text: string): Promise<LogFile | FileFault> {
  const parsed = parse(text);
  if (typeof parsed !== "object" || parsed === null) return { code: "not_json", where: "" };
  const { format, version, written_at, contributor } = parsed as Record<string, unknown>;
  if (format !== FORMAT || typeof version !== "number") return { code: "not_a_log", where: "" };
  if (version > VERSION) return { code: "newer", where: String(version) };
  const whole = { ...FORMER, ...LATER, ...parsed };
  const { issues } = safeParse(content, whole, { abortEarly: true });
  if (issues !== undefined) return { code: "damaged", where: placeOf(issues[0]) };
  // The rows as read: parsing would change the order of their fields.
  const found = whole as unknown as InferOutput<typeof content>;
  const photos = found.photos.map((row) => ({ ...row, bytes: fromBase64(row.bytes) }));
  const wrong = await firstWrong(photos);
  if (wrong >= 0) return { code: "damaged", where: `photos[${wrong}]` };
  return {
    format: FORMAT,
    version: VERSION,
    written_at: String(written_at),
    contributor: String(contributor),
    secret: found.secret,
    tests: found.tests,
    sources: found.sources,
    tubes: found.tubes.map(wholeTube),
    plans: found.plans,
    stars: found.stars,
    cans: found.cans,
    fills: found.fills,
    ...vehiclesAndSettings(found),
    sheet: found.sheet,
    language: found.language,
    photos,
  };
}

/** Up to version 5 there was one tank, on its own, and the minimum was a setting. */
function vehiclesAndSettings(found: InferOutput<typeof content>): Pick<LogFile, "vehicles" | "settings"> {
  if (found.settings === null) return { vehicles: found.vehicles ?? firstVehicle(found.tank, null), settings: null };
  const { own_minimum = null, ...settings } = found.settings;
  return { vehicles: found.vehicles ?? firstVehicle(found.tank, own_minimum), settings };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** The list or part that is invalid, and for a list the row. */
function placeOf({ path }: InferIssue<typeof content>): string {
  const [name, row] = (path ?? []).map(({ key }) => key);
  return typeof row === "number" ? `${name}[${row}]` : String(name);
}

/** The index of the first picture that does not match its digest, or -1. */
async function firstWrong(photos: PhotoRow[]): Promise<number> {
  for (const [at, row] of photos.entries()) if (toHex(await sha256(row.bytes)) !== row.digest) return at;
  return -1;
}
