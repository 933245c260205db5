/** The open visits of a sampling plan as a calendar file. */

import { labels } from "../i18n";
import { dayOf, laterDay } from "../model/plan";
import type { PlanPage } from "../store/plans";
import { type CalendarEvent, writeCalendar } from "./calendar";

/** The hour of the reminder, in the phone's own time. */
const HOUR = "09:00:00";
const MINUTES = 30;

export function writePlan(page: PlanPage, now: Date): string {
  const words = labels.sources.plan;
  const name = [page.name, page.pump].filter(Boolean).join(", ");
  const events = page.visits
    .filter((visit) => visit.state === "due" || visit.state === "ahead")
    .map(
      (visit): CalendarEvent => ({
        uid: `${page.plan.source}-${visit.day}`,
        starts: reminderOf(visit.day, now),
        minutes: MINUTES,
        summary: words.reminder(name),
        description: words.reminderHint,
      }),
    );
  return writeCalendar(events, now);
}

/** Nine o'clock on the day; if that has passed, the next nine o'clock, because a reminder in the past never rings. */
function reminderOf(day: string, now: Date): string {
  const today = dayOf(now);
  return [day, today, laterDay(today, 1)].map((one) => `${one}T${HOUR}`).find((at) => new Date(at) > now) as string;
}
