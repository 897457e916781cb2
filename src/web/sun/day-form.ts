// The form of the day's plan: a place by the sun's own fields, and a row for each negative.
import { InputError } from "#shared/errors.ts";
import { mostNegatives, sunDayRequestSchema, type SunDayRequest } from "#shared/schema/sun/day.ts";
import { numberOf, textOf, textsOf, type FormValues } from "#src/web/parts/form-values.ts";
import type { SunForm } from "./form.ts";

export interface DayRow {
  readonly name: string;
  /** "test:<id>" or "kept:<id>"; empty for none. */
  readonly scaledBy: string;
}

/** Rows of the form that are always there, so that a page without script has room. */
const leastRows = 4;

/** Rows as they were sent, with two empty ones to go on with. */
export function dayRowsFrom(sent: Readonly<Record<string, unknown>>, usual: string): DayRow[] {
  const names = textsOf(sent, "negative");
  const scaled = textsOf(sent, "scaledBy");
  const filled = names
    .map((name, index): DayRow => ({ name: name.trim(), scaledBy: scaled[index] ?? usual }))
    .filter(({ name }) => name !== "")
    .slice(0, mostNegatives);
  const rows = Math.min(mostNegatives, Math.max(leastRows, filled.length + 2));
  return [...filled, ...Array.from({ length: rows - filled.length }, () => ({ name: "", scaledBy: usual }))];
}

/**
 * What the form asks for; null before a negative is named.
 * @throws InputError in plain words
 */
export function dayRequestFrom(form: SunForm, rows: readonly DayRow[], values: FormValues): SunDayRequest | null {
  const named = rows.filter(({ name }) => name !== "");
  if (named.length === 0 || form.request === null) return null;
  const whole = (field: string): number | undefined => {
    const value = numberOf(values, field);
    return value === undefined ? undefined : Math.round(value);
  };
  const parsed = sunDayRequestSchema.safeParse({
    plan: form.request,
    negatives: named.map(({ name, scaledBy }) => ({
      name,
      anchorTestIds: scaledBy.startsWith("test:") ? [scaledBy.slice(5)] : [],
      anchorIds: scaledBy.startsWith("kept:") ? [scaledBy.slice(5)] : [],
    })),
    frames: whole("frames"),
    hands: whole("hands"),
    loadMinutes: whole("loadMinutes"),
    emptyMinutes: whole("emptyMinutes"),
  });
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const message = issue?.code === "invalid_type" ? "write whole numbers" : (issue?.message ?? "something is missing");
  throw new InputError("bad-request", `${message.charAt(0).toUpperCase()}${message.slice(1)}.`, {
    field: String(issue?.path[0] ?? "negative"),
  });
}

/** The rows and means as a query, to be carried along with the sun's own. */
export function dayQuery(rows: readonly DayRow[], values: FormValues): string {
  const query = new URLSearchParams();
  for (const { name, scaledBy } of rows) {
    if (name === "") continue;
    query.append("negative", name);
    query.append("scaledBy", scaledBy);
  }
  for (const field of ["frames", "hands", "loadMinutes", "emptyMinutes"]) {
    const value = textOf(values, field);
    if (value !== "") query.append(field, value);
  }
  return query.toString();
}
