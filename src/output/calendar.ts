// A calendar file that any phone or computer can take in: it calls also while the screen is locked. Source: RFC 5545
// (iCalendar).

/** One entry of a calendar. */
export interface CalendarEvent {
  /** Stays the same when the entry is sent again, so that it replaces the one before. */
  readonly uid: string;
  /** ms of UTC. */
  readonly startMs: number;
  readonly endMs?: number;
  readonly title: string;
  readonly text?: string;
  /** Whether to call at the start. */
  readonly isAlarm: boolean;
}

/** Longest line in octets without its break: RFC 5545, 3.1. */
const mostOctets = 75;

/** An instant in UTC: form 2 of RFC 5545, 3.3.5, such as 19980119T070000Z. */
function utcStamp(ms: number): string {
  return `${new Date(ms).toISOString().slice(0, 19).replaceAll(/[-:]/g, "")}Z`;
}

/** Text with its backslash, semicolon, comma and line ends escaped: RFC 5545, 3.3.11. */
function escapedText(text: string): string {
  return text
    .replaceAll("\\", "\\\\")
    .replaceAll(";", "\\;")
    .replaceAll(",", "\\,")
    .replaceAll(/\r?\n/g, "\\n")
    .replaceAll(/[\u0000-\u0008\u000b-\u001f\u007f]/g, ""); // eslint-disable-line no-control-regex
}

/** A line folded to 75 octets, never inside a letter: RFC 5545, 3.1. */
function folded(line: string): string {
  const lines: string[] = [];
  let current = "";
  for (const letter of line) {
    if (Buffer.byteLength(current + letter) > mostOctets) {
      lines.push(current);
      current = " ";
    }
    current += letter;
  }
  return [...lines, current].join("\r\n");
}

function eventLines(event: CalendarEvent, madeMs: number): string[] {
  const alarm = event.isAlarm
    ? ["BEGIN:VALARM", "ACTION:DISPLAY", `DESCRIPTION:${escapedText(event.title)}`, "TRIGGER:PT0S", "END:VALARM"]
    : [];
  return [
    "BEGIN:VEVENT",
    `UID:${escapedText(event.uid)}`,
    `DTSTAMP:${utcStamp(madeMs)}`,
    `DTSTART:${utcStamp(event.startMs)}`,
    ...(event.endMs === undefined ? [] : [`DTEND:${utcStamp(event.endMs)}`]),
    `SUMMARY:${escapedText(event.title)}`,
    ...(event.text === undefined || event.text === "" ? [] : [`DESCRIPTION:${escapedText(event.text)}`]),
    ...alarm,
    "END:VEVENT",
  ];
}

/**
 * A calendar file.
 * @param madeMs now [ms of UTC]
 * Source: RFC 5545, 3.4 to 3.6.
 */
export function calendarFile(events: readonly CalendarEvent[], madeMs: number): string {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Wedgewright//Wedgewright//EN",
    "CALSCALE:GREGORIAN",
    ...events.flatMap((event) => eventLines(event, madeMs)),
    "END:VCALENDAR",
  ];
  return `${lines.map(folded).join("\r\n")}\r\n`;
}
