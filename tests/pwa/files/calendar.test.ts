// Files are read back by the rules of RFC 5545, written out again here: 3.1 (lines), 3.3.11 (text), 3.3.4 and
// 3.3.5 (times), 3.6.1 and 3.6.6 (what an event and an alarm must contain).
import fc from "fast-check";
import { type CalendarEvent, escaped, folded, writeCalendar } from "@/files/calendar";

const NOW = new Date("2026-03-12T14:05:09.123Z");
const text = fc.string({ unit: "binary", maxLength: 300 });

/** 3.1: a line break followed by one blank is a folded line. */
function unfolded(file: string): string[] {
  return file
    .replace(/\r\n[ \t]/g, "")
    .split("\r\n")
    .slice(0, -1);
}

/** 3.3.11: the four characters that can follow a backslash. */
function meant(value: string): string {
  return value.replace(/\\([\\;,nN])/g, (_, sign: string) => (sign === "n" || sign === "N" ? "\n" : sign));
}

/** What a text can contain: one kind of line break, and no control characters except tab. */
function kept(value: string): string {
  const isControl = (code: number) => (code < 0x20 && code !== 0x09 && code !== 0x0a) || (code >= 0x7f && code < 0xa0);
  const lines = value.replace(/\r\n|\r/g, "\n");
  return [...lines].filter((sign) => !isControl(sign.codePointAt(0) as number)).join("");
}

function event(change: Partial<CalendarEvent> = {}): CalendarEvent {
  const starts = "2026-03-16T09:00:00";
  return { uid: "a-2026-03-16", starts, minutes: 30, summary: "Sample", description: "", ...change };
}

test("no line is longer than 75 octets, and unfolding gives it back", () => {
  fc.assert(
    fc.property(text, (raw) => {
      const line = escaped(raw);
      const pieces = folded(line).split("\r\n");
      for (const piece of pieces) expect(new TextEncoder().encode(piece).length).toBeLessThanOrEqual(75);
      for (const piece of pieces.slice(1)) expect(piece[0]).toBe(" ");
      // Each line is valid UTF-8 on its own: no character was split.
      for (const piece of pieces) expect(new TextDecoder().decode(new TextEncoder().encode(piece))).toBe(piece);
      expect(folded(line).replace(/\r\n /g, "")).toBe(line);
    }),
  );
});

test("a line of 75 octets stays whole, one more is folded", () => {
  expect(folded("x".repeat(75))).toBe("x".repeat(75));
  expect(folded("x".repeat(76))).toBe(`${"x".repeat(75)}\r\n x`);
  expect(folded("é".repeat(38))).toBe(`${"é".repeat(37)}\r\n é`);
});

test("escaped text is one line of allowed characters and unescapes to the original", () => {
  fc.assert(
    fc.property(text, (raw) => {
      const value = escaped(raw);
      expect(value).not.toMatch(/[\r\n\0\x7f]/);
      expect(value.replace(/\\[\\;,n]/g, "")).not.toMatch(/[;,\\]/);
      expect(meant(value)).toBe(kept(raw));
    }),
  );
});

test("the example of RFC 5545 section 3.3.11 is reproduced", () => {
  const raw = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
  expect(escaped(raw)).toBe("Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
});

test("a calendar is valid whatever the texts say", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(text, text), { maxLength: 3 }), (texts) => {
      const events = texts.map(([summary, description], k) => event({ uid: `u-${k}`, summary, description }));
      const file = writeCalendar(events, NOW);
      expect(file.endsWith("END:VCALENDAR\r\n")).toBe(true);
      expect(file.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
      const lines = unfolded(file);
      expect(lines.slice(0, 2)).toEqual(["BEGIN:VCALENDAR", "VERSION:2.0"]);
      expect(lines[2]).toMatch(/^PRODID:./);
      expect(lines.every((line) => /^[A-Z-]+:/.test(line))).toBe(true);
      const begun = lines.filter((line) => line.startsWith("BEGIN:")).map((line) => line.slice(6));
      const ended = lines.filter((line) => line.startsWith("END:")).map((line) => line.slice(4));
      expect(begun.sort()).toEqual(ended.sort());
      const summaries = lines.filter((line) => line.startsWith("SUMMARY:")).map((line) => meant(line.slice(8)));
      expect(summaries).toEqual(texts.map(([summary]) => kept(summary)));
    }),
  );
});

test("an event has an id, a UTC stamp, a floating start and a display alarm", () => {
  const lines = unfolded(writeCalendar([event({ description: "Closed can; no flame, please" })], NOW));
  const inside = lines.slice(lines.indexOf("BEGIN:VEVENT") + 1, lines.indexOf("END:VEVENT"));
  expect(inside).toContain("UID:a-2026-03-16");
  expect(inside).toContain("DTSTAMP:20260312T140509Z");
  expect(inside).toContain("DTSTART:20260316T090000");
  expect(inside).toContain("DURATION:PT30M");
  expect(inside).toContain("DESCRIPTION:Closed can\\; no flame\\, please");
  const alarm = inside.slice(inside.indexOf("BEGIN:VALARM") + 1, inside.indexOf("END:VALARM"));
  expect(alarm.map((line) => line.split(":")[0])).toEqual(["ACTION", "DESCRIPTION", "TRIGGER"]);
  expect(alarm[0]).toBe("ACTION:DISPLAY");
});
