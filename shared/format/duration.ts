// Times as a printmaker says them: minutes and seconds, hours only where there are any.
import { withDecimalSign } from "./number.ts";

/** Seconds above which a fraction of a second no longer matters to anyone at a light box. */
const wholeSecondsFrom = 10;

/** Rounds to the precision that is shown: tenths below 10 s, whole seconds above. */
function shownSeconds(seconds: number): number {
  return seconds < wholeSecondsFrom ? Math.round(seconds * 10) / 10 : Math.round(seconds);
}

/**
 * A time as `minutes:seconds` ("8:05"), as "1 h 35 min" from one hour on, where two colons would be misread, or as "4.5
 * s" below ten seconds.
 * @param seconds duration [s], 0 or more
 * @throws RangeError when negative or not finite
 * @example formatDuration(485) // "8:05"
 */
export function formatDuration(seconds: number): string {
  if (!Number.isFinite(seconds) || seconds < 0) throw new RangeError(`A duration cannot be ${seconds} s.`);
  const shown = shownSeconds(seconds);
  if (shown < wholeSecondsFrom) return `${withDecimalSign(String(shown))} s`;
  const hours = Math.floor(shown / 3600);
  const minutes = Math.floor((shown % 3600) / 60);
  const rest = shown % 60;
  if (hours === 0) return `${minutes}:${String(rest).padStart(2, "0")}`;
  return `${hours} h${minutes > 0 || rest > 0 ? ` ${minutes} min` : ""}${rest > 0 ? ` ${rest} s` : ""}`;
}

/**
 * The same time in words, for reading aloud and for screen readers: "8 minutes 5 seconds".
 * @param seconds duration [s], 0 or more
 * @throws RangeError when negative or not finite
 * @example spokenDuration(485) // "8 minutes 5 seconds"
 */
export function spokenDuration(seconds: number): string {
  if (!Number.isFinite(seconds) || seconds < 0) throw new RangeError(`A duration cannot be ${seconds} s.`);
  const shown = shownSeconds(seconds);
  const hours = Math.floor(shown / 3600);
  const minutes = Math.floor((shown % 3600) / 60);
  const rest = shown < wholeSecondsFrom ? shown : shown % 60;
  const parts = [
    hours > 0 ? `${hours} ${hours === 1 ? "hour" : "hours"}` : "",
    minutes > 0 ? `${minutes} ${minutes === 1 ? "minute" : "minutes"}` : "",
    rest > 0 || (hours === 0 && minutes === 0)
      ? `${withDecimalSign(String(rest))} ${rest === 1 ? "second" : "seconds"}`
      : "",
  ];
  return parts.filter((part) => part !== "").join(" ");
}

/** By a unit's first letter. */
const secondsOfUnit: Readonly<Record<string, number>> = { s: 1, m: 60, h: 3600 };

/**
 * Seconds from what someone typed: "8:05", "1:02:03", "485" or "485 s" (seconds), "8 min", "8,5 min", "1 h 35 min".
 * @returns duration [s], or undefined when it cannot be understood
 * @example parseDuration("8:05") // 485
 */
export function parseDuration(text: string): number | undefined {
  const tidy = text.trim().toLowerCase().replace(",", ".");
  const clock = /^(?:(\d+):)?(\d+):(\d{1,2}(?:\.\d+)?)$/.exec(tidy);
  if (clock !== null) {
    const [, hours = "0", minutes = "0", rest = "0"] = clock;
    return Number(rest) < 60 ? Number(hours) * 3600 + Number(minutes) * 60 + Number(rest) : undefined;
  }
  const parts = /^(?:(\d+)\s*h)\s*(?:(\d+)\s*min)?\s*(?:(\d+)\s*s)?$/.exec(tidy);
  if (parts !== null) return Number(parts[1]) * 3600 + Number(parts[2] ?? 0) * 60 + Number(parts[3] ?? 0);
  const amount = /^(\d+(?:\.\d+)?)\s*(s|sec|seconds?|m|min|minutes?|h|hours?)?$/.exec(tidy);
  if (amount === null) return undefined;
  const [, number = "", unit = "s"] = amount;
  return Number(number) * (secondsOfUnit[unit.charAt(0)] ?? 1);
}
