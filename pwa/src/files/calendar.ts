/**
 * Events as an iCalendar file, RFC 5545.
 *
 * Times are floating (3.3.5, form 1): nine in the morning is nine wherever the phone is, and no time zone is needed.
 */

export interface CalendarEvent {
  /** Globally unique and the same at every export: a calendar replaces the event, adding none (3.8.4.7). */
  uid: string;
  /** Floating local time, `2026-03-16T09:00:00`. */
  starts: string;
  minutes: number;
  summary: string;
  description: string;
}

/** Octets of a line without its line break (3.1). */
const LONGEST = 75;
const PRODUCT = "-//Splitline//Sampling plan//EN";

/** The file's text; `now` is when it was made. */
export function writeCalendar(events: readonly CalendarEvent[], now: Date): string {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    `PRODID:${PRODUCT}`,
    ...events.flatMap((event) => eventLines(event, now)),
    "END:VCALENDAR",
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}

function eventLines(event: CalendarEvent, now: Date): string[] {
  return [
    "BEGIN:VEVENT",
    `UID:${escaped(event.uid)}`,
    `DTSTAMP:${compact(now.toISOString().slice(0, 19))}Z`,
    `DTSTART:${compact(event.starts)}`,
    `DURATION:PT${event.minutes}M`,
    `SUMMARY:${escaped(event.summary)}`,
    `DESCRIPTION:${escaped(event.description)}`,
    "BEGIN:VALARM",
    "ACTION:DISPLAY",
    `DESCRIPTION:${escaped(event.summary)}`,
    "TRIGGER:PT0S",
    "END:VALARM",
    "END:VEVENT",
  ];
}

/** A TEXT value (3.3.11). Control characters are not allowed, except the tab. */
export function escaped(text: string): string {
  return text
    .replace(/[\\;,]/g, "\\$&")
    .replace(/\r\n|\r|\n/g, "\\n")
    .replace(/(?!\t)\p{Cc}/gu, "");
}

/** A content line folded into pieces of up to 75 octets, never inside a character; later pieces start with a space. */
export function folded(line: string): string {
  const pieces: string[] = [];
  let piece = "";
  let octets = 0;
  for (const character of line) {
    const size = new TextEncoder().encode(character).length;
    if (octets + size > LONGEST) {
      pieces.push(piece);
      piece = " ";
      octets = 1;
    }
    piece += character;
    octets += size;
  }
  return [...pieces, piece].join("\r\n");
}

/** `2026-03-16T09:00:00` as `20260316T090000`. */
function compact(time: string): string {
  return time.replace(/[-:]/g, "");
}
