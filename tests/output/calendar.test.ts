// Held against the text of RFC 5545 (iCalendar): its grammar of lines, not our own output.
import { describe, expect, it } from "vitest";
import { calendarFile } from "#src/output/calendar.ts";

const madeMs = Date.parse("1998-01-19T07:00:00Z");

/** Unfolds and parts a file as RFC 5545, 3.1 says. */
function contentLines(text: string): string[] {
  return text.replaceAll("\r\n ", "").split("\r\n").slice(0, -1);
}

describe("calendarFile", () => {
  const text = calendarFile(
    [
      {
        uid: "frame-1@wedgewright",
        startMs: Date.parse("1998-01-19T02:00:00-05:00"),
        endMs: Date.parse("1998-01-19T02:15:00-05:00"),
        title: "Bring in: fern; lace, and Žofie's leaf",
        text: `Between 7:00 and 7:15\nhidden sun makes it later ${"ü".repeat(80)}`,
        isAlarm: true,
      },
    ],
    madeMs,
  );

  it("ends every line with CRLF and keeps each within 75 octets, never splitting a letter (3.1)", () => {
    expect(text.endsWith("\r\n")).toBe(true);
    expect(text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
    for (const line of text.split("\r\n")) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    expect(contentLines(text).join()).toContain("ü".repeat(80));
  });

  it("writes instants in UTC, form 2 of 3.3.5, as in its example 19980119T070000Z", () => {
    expect(contentLines(text)).toContain("DTSTART:19980119T070000Z");
    expect(contentLines(text)).toContain("DTSTAMP:19980119T070000Z");
    expect(contentLines(text)).toContain("DTEND:19980119T071500Z");
  });

  it("escapes comma, semicolon and line end (3.3.11)", () => {
    expect(contentLines(text)).toContain("SUMMARY:Bring in: fern\\; lace\\, and Žofie's leaf");
    expect(contentLines(text).find((line) => line.startsWith("DESCRIPTION:Between"))).toContain("7:15\\nhidden");
  });

  it("nests a calendar, an event and an alarm that calls at its start (3.4, 3.6)", () => {
    const parts = contentLines(text).filter((line) => /^(BEGIN|END):/.test(line));
    expect(parts).toEqual([
      "BEGIN:VCALENDAR",
      "BEGIN:VEVENT",
      "BEGIN:VALARM",
      "END:VALARM",
      "END:VEVENT",
      "END:VCALENDAR",
    ]);
    for (const name of ["VERSION:2.0", "PRODID:", "UID:frame-1@wedgewright", "ACTION:DISPLAY", "TRIGGER:PT0S"])
      expect(contentLines(text).filter((line) => line.startsWith(name))).toHaveLength(1);
  });
});
