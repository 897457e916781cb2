// Local clocks by IANA zone name, daylight saving included. The only file of the core that asks the platform's zone
// tables.
import { TroubleError } from "#shared/errors.ts";

/** A clock on a wall: how far it is ahead of UTC at each instant. */
export interface LocalClock {
  /** IANA zone name such as "Europe/Lisbon", or an offset such as "+02:00". */
  readonly name: string;
  /** Minutes ahead of UTC at an instant [ms of UTC]. */
  readonly offsetMinutesAt: (atMs: number) => number;
}

/** Why a zone or a time cannot be understood: as it was written. */
export type ClockTrouble =
  | { readonly code: "unknown-time-zone"; readonly zone: string }
  | { readonly code: "no-such-time"; readonly day: string; readonly time: string };

const minuteMs = 60_000;
const dayMs = 86_400_000;

/**
 * The clock of an IANA time zone.
 * @param zone such as "America/Denver"; an offset such as "+02:00" is a clock that never changes
 * @throws TroubleError `bad-request` when there is no such zone.
 */
export function clockOfZone(zone: string): LocalClock {
  if (/^[+-]\d\d:\d\d$/.test(zone)) return clockOfOffset(zone);
  let format: Intl.DateTimeFormat;
  try {
    format = new Intl.DateTimeFormat("en-US", {
      timeZone: zone,
      hourCycle: "h23",
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
      second: "2-digit",
    });
  } catch (cause) {
    throw new TroubleError<ClockTrouble>(
      "bad-request",
      { code: "unknown-time-zone", zone },
      { field: "timeZone", cause },
    );
  }
  const offsetMinutesAt = (atMs: number): number => {
    const parts: Record<string, number> = {};
    for (const part of format.formatToParts(atMs)) if (part.type !== "literal") parts[part.type] = Number(part.value);
    const wall = Date.UTC(
      parts.year ?? 1970,
      (parts.month ?? 1) - 1,
      parts.day,
      parts.hour,
      parts.minute,
      parts.second,
    );
    return Math.round((wall - Math.floor(atMs / 1000) * 1000) / minuteMs);
  };
  return { name: zone, offsetMinutesAt };
}

/**
 * The clock that an instant was written with: its offset, all year.
 * @param instant ISO 8601 with offset, such as "2026-05-01T14:30:00+02:00" or ending in Z
 */
export function clockOfOffset(instant: string): LocalClock {
  const match = /([+-])(\d\d):?(\d\d)$/.exec(instant);
  const minutes = match === null ? 0 : (match[1] === "-" ? -1 : 1) * (Number(match[2]) * 60 + Number(match[3]));
  return { name: offsetText(minutes), offsetMinutesAt: () => minutes };
}

/** An offset from UTC as instants carry it, such as "+02:00". @param minutes east of Greenwich above 0 */
export function offsetText(minutes: number): string {
  const size = Math.abs(minutes);
  const [hours, rest] = [Math.floor(size / 60), size % 60].map((part) => String(part).padStart(2, "0"));
  return `${minutes < 0 ? "-" : "+"}${hours}:${rest}`;
}

/**
 * The zone that a start was written in: by name where it is known, else its offset, which does not shift with the
 * season.
 */
export function zoneOfStart({ startedAt, timeZone }: { startedAt: string; timeZone?: string | undefined }): string {
  return timeZone ?? clockOfOffset(startedAt).name;
}

/** An instant as this clock writes it: ISO 8601 with offset, to the nearest second. */
export function isoInstant(clock: LocalClock, atMs: number): string {
  const wholeMs = Math.round(atMs / 1000) * 1000;
  const offset = clock.offsetMinutesAt(wholeMs);
  return `${new Date(wholeMs + offset * minuteMs).toISOString().slice(0, 19)}${offsetText(offset)}`;
}

/** The calendar day that this clock shows at an instant, such as "2026-03-29". */
export function calendarDay(clock: LocalClock, atMs: number): string {
  return isoInstant(clock, atMs).slice(0, 10);
}

/** The time of day that this clock shows at an instant, such as "14:05", rounded to the nearest minute. */
export function clockTime(clock: LocalClock, atMs: number): string {
  return isoInstant(clock, Math.round(atMs / minuteMs) * minuteMs).slice(11, 16);
}

/**
 * The instant at which a clock shows a day and time.
 * @param day calendar day, "2026-03-29"
 * @param time "14:05"; a time skipped by daylight saving counts on from the change, a time that comes twice is the
 *   first
 * @returns ms of UTC
 * @throws TroubleError `bad-request` when day or time does not exist in any calendar.
 */
export function instantOf(clock: LocalClock, day: string, time: string): number {
  const wall = Date.parse(`${day}T${time}:00Z`);
  // Date.parse rolls 31 April over to May, so the day must come back unchanged.
  if (Number.isNaN(wall) || new Date(wall).toISOString().slice(0, 16) !== `${day}T${time}`) {
    throw new TroubleError<ClockTrouble>("bad-request", { code: "no-such-time", day, time }, { field: "startAt" });
  }
  // Try the offsets in force shortly before and after; the larger offset gives the earlier instant.
  const offsets = [clock.offsetMinutesAt(wall - dayMs), clock.offsetMinutesAt(wall + dayMs)].sort((a, b) => b - a);
  for (const offset of offsets) {
    const atMs = wall - offset * minuteMs;
    if (clock.offsetMinutesAt(atMs) === offset) return atMs;
  }
  // Skipped hour: with the offset before the change, the instant lies past it by as much as was skipped.
  return wall - (offsets[1] ?? 0) * minuteMs;
}

/** First and last instant of a calendar day by a clock [ms of UTC]: 23, 24 or 25 hours. */
export function dayStretch(clock: LocalClock, day: string): { readonly fromMs: number; readonly untilMs: number } {
  const fromMs = instantOf(clock, day, "00:00");
  return { fromMs, untilMs: instantOf(clock, nextDay(day, 1), "00:00") };
}

/** The calendar day some days later (or earlier, when negative). */
export function nextDay(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * dayMs).toISOString().slice(0, 10);
}

/** Hours by which a zone's clock may differ from the sun's without a slip; western China has three. */
const mostClockHours = 3.5;

/**
 * Whether a clock can belong to a longitude: catches east typed for west and a zone left from another place.
 * @param longitude east positive [°]
 */
export function clockFitsLongitude(clock: LocalClock, longitude: number, atMs: number): boolean {
  const apart = Math.abs(clock.offsetMinutesAt(atMs) / 60 - longitude / 15) % 24;
  return Math.min(apart, 24 - apart) <= mostClockHours;
}
