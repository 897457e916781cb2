// Days and times as pages show them, by the clock that they were written with.
import { writingNow } from "./writing.ts";

const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/**
 * The day of an instant by its own offset: "1 May 2026", or "01/05/2026", "05/01/2026", "2026-05-01" as the reader
 * asks.
 * @param instant ISO 8601 date or date with time
 * @returns the text as it came when it is no ISO date
 * @example formatDay("2026-05-01T14:30:00+02:00") // "1 May 2026"
 */
export function formatDay(instant: string): string {
  const match = /^(\d{4})-(\d\d)-(\d\d)/.exec(instant);
  const month = months[Number(match?.[2]) - 1];
  if (match === null || month === undefined) return instant;
  const [iso, year, monthDigits, dayDigits] = match;
  switch (writingNow().days) {
    case "day-month-year":
      return `${dayDigits}/${monthDigits}/${year}`;
    case "month-day-year":
      return `${monthDigits}/${dayDigits}/${year}`;
    case "iso":
      return iso;
    default:
      return `${Number(dayDigits)} ${month} ${year}`;
  }
}

/**
 * Day and time of an instant by its own offset: "1 May 2026, 14:30".
 * @param instant ISO 8601 date with time
 * @returns the day alone when there is no time
 * @example formatDayAndTime("2026-05-01T14:30:00+02:00") // "1 May 2026, 14:30"
 */
export function formatDayAndTime(instant: string): string {
  const time = /^\d{4}-\d\d-\d\dT(\d\d:\d\d)/.exec(instant)?.[1];
  return time === undefined ? formatDay(instant) : `${formatDay(instant)}, ${time}`;
}
