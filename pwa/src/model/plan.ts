/** A sampling plan in calendar days: what is done, what is due. Days are `2026-03-16`, by the phone's calendar. */

import type { PlanRow } from "../rows/plan";

/** Four weeks of visits are the least that show a source's scatter. */
export const USUAL_WEEKS = 4;
export const MOST_WEEKS = 26;
/** A test up to this many days before or after a visit counts for it: half a week, so that no test counts for two. */
export const LEEWAY = 3;
const DAY = 86_400_000;
const WEEK = 7;

/** ahead: not due yet. due: to be done, up to three days late. missed: later than that. */
export type VisitState = "done" | "due" | "ahead" | "missed";

export interface PlannedVisit {
  day: string;
  state: VisitState;
  /** When the sample for this visit was taken. */
  sampled_at: string | null;
}

/** The phone's calendar day at a moment. */
export function dayOf(at: Date): string {
  const two = (value: number) => String(value).padStart(2, "0");
  return `${String(at.getFullYear()).padStart(4, "0")}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

/** The start of a day, in the phone's time zone. */
export function startOf(day: string): Date {
  return new Date(`${day}T00:00:00`);
}

/** The day some days later or, below 0, earlier. */
export function laterDay(day: string, days: number): string {
  return new Date(number(day) + days * DAY).toISOString().slice(0, 10);
}

/** 1 for Monday to 7 for Sunday. */
export function weekdayOf(day: string): number {
  return new Date(number(day)).getUTCDay() || WEEK;
}

/** The first day on or after `from` that falls on a weekday, 1 for Monday to 7 for Sunday. */
export function firstVisit(from: string, weekday: number): string {
  return laterDay(from, (weekday - weekdayOf(from) + WEEK) % WEEK);
}

/** True for a day that exists in the calendar. */
export function isDay(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(number(text)) && laterDay(text, 0) === text;
}

/** Every visit of a plan, from the times of the person's own samples. */
export function visitsOf(
  plan: Pick<PlanRow, "first_day" | "weeks">,
  sampled: readonly string[],
  now: Date,
): PlannedVisit[] {
  const today = dayOf(now);
  return Array.from({ length: plan.weeks }, (_, week) => {
    const day = laterDay(plan.first_day, week * WEEK);
    const sampled_at = sampled.find((at) => Math.abs(daysBetween(day, dayOf(new Date(at)))) <= LEEWAY) ?? null;
    return { day, sampled_at, state: sampled_at === null ? open(daysBetween(day, today)) : "done" };
  });
}

/** The next visit: the one that is due, else the first ahead; null if none is left. */
export function nextVisit(visits: readonly PlannedVisit[]): PlannedVisit | null {
  return visits.find((visit) => visit.state === "due") ?? visits.find((visit) => visit.state === "ahead") ?? null;
}

/** True when a visit is due or falls within the next week. */
export function isSoon(visit: PlannedVisit, now: Date): boolean {
  return daysBetween(dayOf(now), visit.day) < WEEK;
}

/** The plan with more weeks; null if it already has the maximum. */
export function longerBy(plan: PlanRow, weeks: number): PlanRow | null {
  return plan.weeks + weeks > MOST_WEEKS ? null : { ...plan, weeks: plan.weeks + weeks };
}

function open(late: number): VisitState {
  if (late < 0) return "ahead";
  return late <= LEEWAY ? "due" : "missed";
}

function daysBetween(from: string, to: string): number {
  return Math.round((number(to) - number(from)) / DAY);
}

function number(day: string): number {
  return Date.parse(`${day}T00:00:00Z`);
}
