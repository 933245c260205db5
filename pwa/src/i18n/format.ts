/** Formats all numbers, units and dates for people. */

import { computed } from "@preact/signals";
import type { Settings } from "../rows/settings";
import { type Language, labels, language } from ".";

/** Fixed, so that a phone set to a locale unknown to the engine cannot stop the app. */
const LOCALES: Record<Language, string> = { en: "en-GB", fr: "fr-FR", pt: "pt-BR", sv: "sv-SE" };
const MINUS = "\u2212";
/** Keeps a number and its unit, or its uncertainty, on the same line. */
const GAP = "\u00a0";
const KM_PER_MILE = 1.609344;
const LITRES_PER_US_GALLON = 3.785411784;
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
/** ms by which two correct clocks may differ. */
const AHEAD = 10 * MINUTE;

/** A time: RFC 3339, ms since 1970, or a Date. */
export type When = string | number | Date;

type TemperatureUnit = Pick<Settings, "temperature_unit">;
type VolumeUnit = Pick<Settings, "volume_unit">;
type DistanceUnit = Pick<Settings, "distance_unit">;

interface Styles {
  /** By their number of decimals. */
  numbers: Map<number, Intl.NumberFormat>;
  plural: Intl.PluralRules;
  relative: Intl.RelativeTimeFormat;
  list: Intl.ListFormat;
  day: Intl.DateTimeFormat;
  shortDay: Intl.DateTimeFormat;
  month: Intl.DateTimeFormat;
  time: Intl.DateTimeFormat;
}

/** How the language that is spoken writes: made once it is asked for, since making takes longer than using. */
const styles = computed((): Styles => {
  const date = (options: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(locales(), { calendar: "gregory", numberingSystem: "latn", ...options });
  return {
    numbers: new Map(),
    plural: new Intl.PluralRules(locales()),
    relative: new Intl.RelativeTimeFormat(locales(), { numeric: "always" }),
    list: new Intl.ListFormat(locales(), { type: "conjunction" }),
    day: date({ day: "numeric", month: "short", year: "numeric" }),
    shortDay: date({ day: "numeric", month: "short" }),
    month: date({ month: "short", year: "numeric", timeZone: "UTC" }),
    time: date({ hour: "2-digit", minute: "2-digit", hourCycle: "h23" }),
  };
});

/** If an engine lacks a language, it must use English, not the phone's own. */
function locales(): string[] {
  return [LOCALES[language.value], LOCALES.en];
}

function numberStyle(decimals: number): Intl.NumberFormat {
  const { numbers } = styles.value;
  const found = numbers.get(decimals) ?? makeNumberStyle(decimals);
  numbers.set(decimals, found);
  return found;
}

function makeNumberStyle(decimals: number): Intl.NumberFormat {
  return new Intl.NumberFormat(locales(), {
    numberingSystem: "latn",
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
    useGrouping: "min2",
  });
}

/** A number with a fixed number of decimals and a true minus sign; a dash if it is not a number. */
export function number(value: number, decimals = 1): string {
  if (!Number.isFinite(value)) return "–";
  const isZero = Number(Math.abs(value).toFixed(decimals)) === 0;
  return (value < 0 && !isZero ? MINUS : "") + numberStyle(decimals).format(Math.abs(value));
}

/** The decimal sign. */
export function decimalSign(): string {
  return number(0.5).charAt(1);
}

/** A content in % (V/V). */
export function percent(value: number, decimals = 1): string {
  return `${number(value, decimals)}${GAP}%`;
}

/** Content and its expanded uncertainty with as many decimals as the uncertainty justifies: `83.5 ± 1.9 %`. */
export function withUncertainty(content: number, uncertainty: number, unit = "%"): string {
  const decimals = decimalsFor(uncertainty);
  return `${number(content, decimals)}${GAP}±${GAP}${number(uncertainty, decimals)}${GAP}${unit}`;
}

/** Up to two significant digits of the uncertainty, and never more than two decimals. */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 1;
  if (uncertainty >= 9.95) return 0;
  return uncertainty >= 0.1 ? 1 : 2;
}

export function interval([low, high]: readonly [number, number], unit = "%", decimals = 0): string {
  return `${labels.format.interval(number(low, decimals), number(high, decimals))}${GAP}${unit}`;
}

export function mL(value: number, decimals = 1): string {
  return `${number(value, decimals)}${GAP}mL`;
}

export function count(n: number, one: string, many: string): string {
  return `${number(n, 0)}${GAP}${styles.value.plural.select(n) === "one" ? one : many}`;
}

/** `name: value`, with the language's spacing of the colon. */
export function pair(name: string, value: string): string {
  return labels.format.pair(name, value);
}

/** Several parts on one line, with a dot between them. */
export function inLine(parts: readonly (string | null | false | undefined)[]): string {
  return parts.filter(Boolean).join(`${GAP}· `);
}

/** `A, B and C`. */
export function list(items: readonly string[]): string {
  return styles.value.list.format(items);
}

export function temperatureUnit(settings: TemperatureUnit): string {
  return `°${settings.temperature_unit}`;
}

/** °C to the unit in the settings. */
export function toTemperature(celsius: number, settings: TemperatureUnit): number {
  return settings.temperature_unit === "F" ? celsius * 1.8 + 32 : celsius;
}

/** The unit in the settings to °C. */
export function fromTemperature(value: number, settings: TemperatureUnit): number {
  return settings.temperature_unit === "F" ? (value - 32) / 1.8 : value;
}

export function temperature(celsius: number, settings: TemperatureUnit, decimals = 1): string {
  return `${number(toTemperature(celsius, settings), decimals)}${GAP}${temperatureUnit(settings)}`;
}

/** A temperature difference: `10 °C` or `18 °F`. */
export function temperatureSpan(celsius: number, settings: TemperatureUnit): string {
  const span = settings.temperature_unit === "F" ? celsius * 1.8 : celsius;
  return `${number(span, 0)}${GAP}${temperatureUnit(settings)}`;
}

export function volumeUnit(settings: VolumeUnit): string {
  return settings.volume_unit === "gal" ? labels.format.gallon : "L";
}

export function toVolume(litres: number, settings: VolumeUnit): number {
  return settings.volume_unit === "gal" ? litres / LITRES_PER_US_GALLON : litres;
}

export function fromVolume(value: number, settings: VolumeUnit): number {
  return settings.volume_unit === "gal" ? value * LITRES_PER_US_GALLON : value;
}

export function volume(litres: number, settings: VolumeUnit, decimals = 1): string {
  return `${number(toVolume(litres, settings), decimals)}${GAP}${volumeUnit(settings)}`;
}

export function distanceUnit(settings: DistanceUnit): string {
  return settings.distance_unit;
}

export function distance(km: number, settings: DistanceUnit): string {
  const value = settings.distance_unit === "mi" ? km / KM_PER_MILE : km;
  return `${number(value, value < 9.95 ? 1 : 0)}${GAP}${distanceUnit(settings)}`;
}

const WINDS = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"] as const;

export type Wind = (typeof WINDS)[number];

/** Degrees clockwise from north to one of the eight compass points, as an identifier. */
export function windOf(degrees: number): Wind {
  return WINDS[Math.round(degrees / 45 + 8) % 8] ?? "N";
}

/** The letters of the compass point. */
export function bearing(degrees: number): string {
  return labels.format.winds[windOf(degrees)];
}

/** With decimal points in every language, as maps show and accept them. */
export function coordinates(latitude: number, longitude: number): string {
  return `${plain(latitude)}, ${plain(longitude)}`;
}

function plain(degrees: number): string {
  return degrees.toFixed(5).replace("-", MINUS);
}

/** A date without line breaks. */
function kept(date: string): string {
  return date.replaceAll(" ", GAP);
}

/** The public form of a time: its day, as noon UTC. It means that day in every time zone. */
const NOON = /T12:00:00(\.0+)?Z$/;

function dateOf(at: When): Date {
  return new Date(typeof at === "string" ? at.replace(NOON, "T12:00:00") : at);
}

/** `12 Mar 2026`, in the phone's time zone. */
export function day(at: When): string {
  const date = dateOf(at);
  return Number.isNaN(date.getTime()) ? "–" : kept(styles.value.day.format(date));
}

/** `12 Mar`, for axes, which have no space for the "de" of Portuguese. */
export function shortDay(at: When): string {
  const date = dateOf(at);
  return Number.isNaN(date.getTime()) ? "–" : kept(styles.value.shortDay.format(date).replace(" de ", " "));
}

/** `2026-03` as `Mar 2026`. */
export function month(of: string): string {
  const date = new Date(`${of}-01T00:00:00Z`);
  return Number.isNaN(date.getTime()) ? "–" : kept(styles.value.month.format(date));
}

/** `14:05`, in the phone's time zone. */
export function timeOfDay(at: When): string {
  const date = new Date(at);
  return Number.isNaN(date.getTime()) ? "–" : styles.value.time.format(date);
}

/** `12 Mar 2026, 14:05`, in the phone's time zone. */
export function moment(at: When): string {
  const date = new Date(at);
  return Number.isNaN(date.getTime()) ? "–" : `${day(date)}, ${styles.value.time.format(date)}`;
}

/** A duration in the largest unit of which it has at least two: `3 hours`. */
export function span(milliseconds: number): string {
  const [unit, size] =
    milliseconds >= 2 * DAY ? ["day", DAY] : milliseconds >= 2 * HOUR ? ["hour", HOUR] : ["minute", MINUTE];
  return spanStyle(unit).format(Math.round(milliseconds / size));
}

function spanStyle(unit: string): Intl.NumberFormat {
  return new Intl.NumberFormat(locales(), { numberingSystem: "latn", style: "unit", unit, unitDisplay: "long" });
}

/** How long ago, in the largest suitable unit. */
export function ago(at: When, now: Date): string {
  const passed = now.getTime() - dateOf(at).getTime();
  if (Number.isNaN(passed)) return "–";
  if (typeof at === "string" && NOON.test(at)) return daysAgo(at, now);
  // A clock was wrong then, or is now: something in the past cannot be in the future.
  if (passed < -AHEAD) return labels.format.onDay(day(at));
  if (passed < MINUTE) return labels.format.justNow;
  if (passed < HOUR) return styles.value.relative.format(-Math.floor(passed / MINUTE), "minute");
  if (passed < DAY) return styles.value.relative.format(-Math.floor(passed / HOUR), "hour");
  if (passed < 60 * DAY) return styles.value.relative.format(-Math.floor(passed / DAY), "day");
  return labels.format.onDay(day(at));
}

/** The same for noon of a day. */
function daysAgo(at: When, now: Date): string {
  const days = Math.round((new Date(now).setHours(12, 0, 0, 0) - dateOf(at).getTime()) / DAY);
  if (days === 0) return labels.format.today;
  return days > 0 && days < 60 ? styles.value.relative.format(-days, "day") : labels.format.onDay(day(at));
}

/** A duration as minutes and seconds, `9:41`; never below 0:00. */
export function clock(milliseconds: number): string {
  const seconds = Math.max(0, Math.ceil(milliseconds / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

/** A time as RFC 3339 with the phone's offset, as in records. */
export function rfc3339(date: Date): string {
  const offset = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offset * MINUTE).toISOString().slice(0, -1);
  const size = Math.abs(offset);
  const hours = String(Math.floor(size / 60)).padStart(2, "0");
  const minutes = String(size % 60).padStart(2, "0");
  return `${local}${offset < 0 ? "-" : "+"}${hours}:${minutes}`;
}
