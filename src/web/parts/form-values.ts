// What someone typed into a form, kept word for word so that a page that asks again shows it again.
import { linesSchema } from "#shared/schema/plain-text.ts";
import { parseDuration } from "#shared/format/duration.ts";
import { withLengthsInMm } from "#shared/format/length.ts";
import { offsetText } from "#shared/sun/local-clock.ts";

/** Field name to text. */
export type FormValues = Readonly<Record<string, string>>;

/** Field name to what is wrong with it, in plain words. */
export type FieldErrors = Record<string, string>;

/** What some fields stand for, and what is wrong with them. */
export interface Asked<Value> {
  readonly value: Value;
  readonly errors: Readonly<FieldErrors>;
}

/** A link or a form may not put into a page what nobody sees: control characters, marks that turn text round. */
const visible = linesSchema();

/** The text fields of a parsed body, lengths in millimetres; lists keep their last value, anything else is dropped. */
export function formValuesFrom(body: unknown): FormValues {
  const values: Record<string, string> = {};
  if (typeof body !== "object" || body === null) return values;
  for (const [name, value] of Object.entries(body)) {
    const last: unknown = Array.isArray(value) ? value.at(-1) : value;
    if (typeof last === "string") values[name] = visible.parse(last);
  }
  return withLengthsInMm(values);
}

/** Every text that a query or a parsed form holds under one name: ticked boxes, rows that repeat. */
export function textsOf(sent: unknown, name: string): string[] {
  if (typeof sent !== "object" || sent === null) return [];
  const found = Object.entries(sent).find(([each]) => each === name)?.[1] as unknown;
  return [found].flat().filter((each): each is string => typeof each === "string");
}

/** Text without its outer blanks; empty when absent. */
export function textOf(values: FormValues, name: string): string {
  return (values[name] ?? "").trim();
}

/** A number as typed, with point or comma; undefined when empty, NaN when it is not a number. */
export function numberOf(values: FormValues, name: string): number | undefined {
  const text = textOf(values, name).replace(",", ".");
  if (text === "") return undefined;
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : Number.NaN;
}

/** Seconds from a minutes field and a seconds field; undefined when both are empty, NaN when either is no number. */
export function secondsOf(values: FormValues, minutesName: string, secondsName: string): number | undefined {
  // Someone may type "8:30" into the minutes and be understood.
  const clock = textOf(values, minutesName);
  if (clock.includes(":")) return parseDuration(clock) ?? Number.NaN;
  const minutes = numberOf(values, minutesName);
  const seconds = numberOf(values, secondsName);
  if (minutes === undefined && seconds === undefined) return undefined;
  return (minutes ?? 0) * 60 + (seconds ?? 0);
}

/**
 * Numbers parted by blanks, semicolons, line ends or commas. A comma is a decimal comma where it stands between two
 * digits, something else parts the numbers, and no point is used: "0,04 0,20" is two numbers, "0,51,102" and "0, 51,
 * 102" are three.
 */
export function numberListOf(text: string): number[] {
  const isParted = /[;\n]|\d\s+\d/.test(text.trim());
  const decimalComma = isParted && !/\d\.\d/.test(text) && /\d,\d/.test(text) && !/,\s|,$|\d,\d+,\d/.test(text.trim());
  const parts = (decimalComma ? text.replaceAll(",", ".") : text.replaceAll(",", " "))
    .split(/[\s;]+/)
    .filter((part) => part !== "");
  return parts.map((part) => (/^[-+]?(\d+\.?\d*|\.\d+)$/.test(part) ? Number(part) : Number.NaN));
}

/**
 * Times parted by blanks, commas, semicolons or line ends, each as parseDuration understands it; plain numbers are in
 * `plainUnit`.
 */
export function durationListOf(text: string, plainUnit: "seconds" | "minutes" = "seconds"): number[] {
  return timeParts(text).map(
    (part) => parseDuration(isPlainNumber(part) ? `${part} ${plainUnit}` : part) ?? Number.NaN,
  );
}

/** Whether a list of times holds numbers alone, without a colon or a unit that would say what they are. */
export function areTimesPlainNumbers(text: string): boolean {
  return timeParts(text).every(isPlainNumber);
}

function timeParts(text: string): string[] {
  return text
    .replaceAll(/(\d)\s+(s|sec|seconds?|m|min|minutes?|h|hours?)\b/gi, "$1$2")
    .split(/[\s,;]+/)
    .filter((part) => part !== "");
}

function isPlainNumber(part: string): boolean {
  return /^\d+(\.\d+)?$/.test(part);
}

/** Whether a box is ticked. */
export function isTicked(values: FormValues, name: string): boolean {
  return textOf(values, name) !== "";
}

/**
 * An instant with offset from a date-and-time field and an offset such as "+02:00".
 * Without an offset the clock of this machine is taken, as it stands on that day.
 * @returns undefined when the field is empty or no date
 */
export function instantOfLocal(local: string, offset: string): string | undefined {
  const match = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d)?$/.exec(local.trim());
  if (match === null) return undefined;
  const [, day = "", time = ""] = match;
  const known = /^[+-]\d\d:\d\d$/.test(offset.trim()) ? offset.trim() : offsetHere(`${day}T${time}`);
  const instant = `${day}T${time}:00${known}`;
  return Number.isNaN(Date.parse(instant)) ? undefined : instant;
}

function offsetHere(local: string): string {
  const minutes = -new Date(local).getTimezoneOffset();
  return offsetText(Number.isFinite(minutes) ? minutes : 0);
}
