// From what is wrong with a request to what a form says: a sentence at each field, and a summary that links to them.
import { ZodError } from "zod";
import { InputError } from "#shared/errors.ts";
import { plainIssues } from "#src/web/plain-issues.ts";
import { problemFrom } from "#src/web/problem.ts";
import type { FieldErrors } from "./form-values.ts";

/** How a form names what a schema names otherwise, the first pattern that fits counting. */
export type FormNames = readonly (readonly [RegExp, string])[];

export interface FormWords {
  readonly names?: FormNames;
  /** What people read beside a field, by its name in the form. */
  readonly labels?: Readonly<Record<string, string>>;
  /** The field that a trouble belongs to when it names none. */
  readonly field?: string;
}

/** What a form's page says when it is shown again. */
interface FormTrouble {
  readonly errors: FieldErrors;
  readonly status: number;
}

/**
 * A trouble with a form's request in the form's own words.
 * @throws the trouble itself when it is neither a schema's nor an InputError
 */
export function formTrouble(error: unknown, words: FormWords = {}): FormTrouble {
  if (error instanceof ZodError) return { errors: fieldErrors(error, words), status: 400 };
  if (!(error instanceof InputError)) throw error;
  const field = formName(error.field ?? words.field ?? "", words.names);
  return { errors: { [field]: error.detail }, status: problemFrom(error).status };
}

/**
 * The same for a page that has one line for what is wrong and no fields to say it beside.
 * @returns field: the form's name of the first one at fault, empty when none is
 * @throws the trouble itself when it is neither a schema's nor an InputError
 */
export function troubleOf(
  error: unknown,
  words: FormWords = {},
): { readonly words: string; readonly field: string; readonly status: number } {
  const { errors, status } = formTrouble(error, words);
  return { words: Object.values(errors).join(" "), field: Object.keys(errors)[0] ?? "", status };
}

/** One sentence for each field that a schema found fault with. */
export function fieldErrors(
  error: ZodError,
  { names, labels = {}, field: otherwise = "" }: FormWords = {},
): FieldErrors {
  const errors: FieldErrors = {};
  for (const { field, message } of plainIssues(error)) {
    const name = formName(field || otherwise, names);
    errors[name] ??= sentence(message, labels[name]);
  }
  return errors;
}

function formName(field: string, names: FormNames = []): string {
  return names.find(([pattern]) => pattern.test(field))?.[1] ?? field;
}

/** A schema's few words as a sentence: "must be above 0" becomes "Distance must be above 0." */
function sentence(message: string, label: string | undefined): string {
  const whole = label !== undefined && /^(must|is|needs|may|does)\b/.test(message) ? `${label} ${message}` : message;
  return `${whole.charAt(0).toUpperCase()}${whole.slice(1)}${/[.!?]$/.test(whole) ? "" : "."}`;
}

/** The box at the top of a form that is shown again; views/partials/error-summary.ejs prints it. */
export interface ErrorSummary {
  readonly word: string;
  readonly entries: readonly { readonly text: string; readonly href: string | null }[];
}

/** Fields of a page from top to bottom, each by its name, or by its name and the id of its control. */
export type FieldOrder = readonly (string | readonly [name: string, id: string])[];

/** Id of a field's control in a page, as views/partials/field.ejs gives it. */
function fieldId(name: string): string {
  return name.replaceAll(".", "-");
}

/**
 * What is wrong with a form, each trouble a link to its field; troubles with fields that the order does not name come
 * last, those with no field are no links.
 * @returns null when nothing is wrong
 */
export function errorSummary(errors: FieldErrors, order: FieldOrder = []): ErrorSummary | null {
  const places = order.map((field) => (typeof field === "string" ? ([field, fieldId(field)] as const) : field));
  const placeOf = (name: string): number => {
    const place = places.findIndex(([each]) => each === name);
    return place === -1 ? places.length : place;
  };
  const wrong = Object.entries(errors).sort(([a], [b]) => placeOf(a) - placeOf(b));
  if (wrong.length === 0) return null;
  return {
    word: wrong.length === 1 ? "One thing needs another look" : `${wrong.length} things need another look`,
    entries: wrong.map(([name, text]) => ({
      text,
      href: name === "" ? null : `#${places[placeOf(name)]?.[1] ?? fieldId(name)}`,
    })),
  };
}
