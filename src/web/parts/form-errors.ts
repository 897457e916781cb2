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

/** One sentence for each field that a schema found fault with. */
export function fieldErrors(error: ZodError, { names, field: otherwise = "" }: FormWords = {}): FieldErrors {
  const errors: FieldErrors = {};
  for (const { field, message } of plainIssues(error))
    errors[formName(field || otherwise, names)] ??= sentence(message);
  return errors;
}

function formName(field: string, names: FormNames = []): string {
  return names.find(([pattern]) => pattern.test(field))?.[1] ?? field;
}

/** A schema's few words as a sentence: "must be above 0" becomes "Must be above 0." */
function sentence(message: string): string {
  return `${message.charAt(0).toUpperCase()}${message.slice(1)}${/[.!?]$/.test(message) ? "" : "."}`;
}

/** The box at the top of a form that is shown again; views/partials/error-summary.ejs prints it. */
export interface ErrorSummary {
  readonly word: string;
  readonly entries: readonly { readonly text: string; readonly href: string | null }[];
}

/** Id of a field's control in a page; links of the summary lead there. */
function fieldId(name: string): string {
  return name.replaceAll(".", "-");
}

/** Names of two troubles in the order of a page's fields; those that it does not name come last. */
function inOrder(order: readonly string[], a: string, b: string): number {
  const place = (name: string): number => (order.includes(name) ? order.indexOf(name) : order.length);
  return place(a) - place(b);
}

/**
 * What is wrong with a form, each trouble a link to its field.
 * @param order names of the page's fields from top to bottom
 * @returns null when nothing is wrong
 */
export function errorSummary(errors: FieldErrors, order: readonly string[] = []): ErrorSummary | null {
  const wrong = Object.entries(errors).sort(([a], [b]) => inOrder(order, a, b));
  if (wrong.length === 0) return null;
  return {
    word: wrong.length === 1 ? "One thing needs another look" : `${wrong.length} things need another look`,
    entries: wrong.map(([name, text]) => ({ text, href: name === "" ? null : `#${fieldId(name)}` })),
  };
}
