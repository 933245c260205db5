/** One line for a stage: what was entered, or that it can be done now. */

import { labels } from "../../../i18n";
import { clock, inLine, mL, number, percent, temperature } from "../../../i18n/format";
import { isComplete, isSettlingStage, runIndex, type StageKey, tubeOf } from "../../../model/progress";
import type { Draft, DraftRun } from "../../../rows/draft";
import type { FiguresRow } from "../../../rows/source";
import type { TubeRow } from "../../../rows/tube";
import { settings } from "../../../state/signals";
import { fuelWaterText } from "../fuel-water";

export interface Known {
  source: FiguresRow | undefined;
  tube: TubeRow | undefined;
  tubes: readonly TubeRow[];
}

export function titleOf(key: StageKey): string {
  const words = labels.test;
  if (key === "source") return words.source.title;
  if (key === "tube") return words.tube.title;
  if (key === "before") return words.before.title;
  if (key.startsWith("fill")) return words.fill.title;
  if (key.startsWith("shake")) return words.shake.title;
  if (key.startsWith("settle")) return words.settle.title;
  return words.line.title;
}

export function summaryOf(key: StageKey, draft: Draft, known: Known, now: number): string {
  const words = labels.test;
  if (!isComplete(key, draft, now)) return waitingLine(key, draft, now);
  if (key === "source") return sourceLine(draft, known.source);
  if (key === "tube") return tubeLine(draft, known.tube);
  if (key === "before") return words.before.short;
  const run = draft.runs[runIndex(key)];
  if (!run) return "";
  if (key.startsWith("fill")) {
    const liquid = words.fill.liquidShort[known.tube?.liquid ?? "water"];
    const other = run.tube ? tubeOf(draft, run, known.tubes)?.name : undefined;
    return inLine([other, words.fill.short(mL(run.water ?? 0, 1), liquid, mL(run.fuel ?? 0, 1))]);
  }
  if (key.startsWith("shake")) return words.shake.short;
  if (key.startsWith("settle")) return words.settle.short;
  const degrees = run.temperature == null ? null : temperature(run.temperature, settings.value);
  return inLine([words.line.short(readingOf(run)), degrees]);
}

/** What a tap on an incomplete stage does, or on one without entries to change. */
export function actOf(key: StageKey, draft: Draft, now: number): string {
  if (key === "before") return labels.test.settle.look;
  return isSettlingStage(key, draft, now) ? labels.test.settle.look : labels.test.readyAct;
}

function waitingLine(key: StageKey, draft: Draft, now: number): string {
  const words = labels.test;
  const until = draft.runs[runIndex(key)]?.settle_until ?? now;
  return isSettlingStage(key, draft, now) ? words.settle.running(clock(until - now)) : words.ready;
}

export function readingOf(run: DraftRun): string {
  if (run.line !== null) return mL(run.line, 1);
  return run.percent === null ? "" : percent(run.percent);
}

/** A change with its sign: `+6.4` or `−0.5`. */
export function signed(value: number): string {
  const text = number(value, 1);
  return value < 0 || text === number(0, 1) ? text : labels.format.signed(text);
}

function sourceLine(draft: Draft, source: FiguresRow | undefined): string {
  const words = labels.test.source;
  const name = source ? [source.name, source.pump].filter(Boolean).join(", ") : words.unknown;
  return draft.sampled === null ? name : `${name}, ${words.sampledShort[draft.sampled]}`;
}

function tubeLine(draft: Draft, tube: TubeRow | undefined): string {
  const words = labels.test.tube;
  const { temperature: all, water_temperature: water = null, fuel_temperature: fuel = null } = draft;
  const degrees = (celsius: number, isMeasured: boolean | undefined) =>
    `${temperature(celsius, settings.value)} ${isMeasured ? words.measured : words.guessed}`;
  return inLine([
    tube?.name ?? words.unused,
    all !== null && degrees(all, draft.temperature_measured),
    all === null && water !== null && words.waterShort(degrees(water, draft.water_temperature_measured)),
    fuel !== null && words.fuelShort(degrees(fuel, draft.fuel_temperature_measured)),
    words.fuelWaterShort(fuelWaterText(draft.fuel_water)),
  ]);
}
