// Turns what a schema found into the one sentence that a person needs: which field, what is wrong with it.
import { z, type ZodError } from "zod";

export interface PlainIssue {
  /** Dotted path as the sender named it; empty for the whole request. */
  readonly field: string;
  readonly message: string;
}

const missing = "is missing";

/** Words for every kind of mismatch that a schema gives no words of its own. */
export function usePlainWords(): void {
  z.config({ customError: plainWords });
}

function plainWords(issue: z.core.$ZodRawIssue): string | undefined {
  if (issue.input === undefined) return missing;
  switch (issue.code) {
    case "invalid_type":
      return `must be ${typeWords[issue.expected] ?? issue.expected}`;
    case "invalid_value":
      return choiceWords(issue.values);
    case "too_small":
      return tooSmall(issue);
    case "too_big":
      return tooBig(issue);
    case "unrecognized_keys":
      return `does not know ${issue.keys.map((key) => `"${key}"`).join(", ")}`;
    case "invalid_format":
      return "is not written in the expected form";
    default:
      return "is not understood";
  }
}

function choiceWords(values: readonly unknown[]): string {
  const written = values.map((value) => JSON.stringify(value)).join(", ");
  return `must be ${values.length === 1 ? "" : "one of "}${written}`;
}

/** What a limit counts, by the kind of value; numbers are compared. */
const counted: Readonly<Record<string, string>> = { array: "entries", string: "characters" };

function tooSmall({
  origin,
  minimum,
  inclusive,
}: Pick<z.core.$ZodIssueTooSmall, "origin" | "minimum" | "inclusive">): string {
  const things = counted[origin];
  if (things !== undefined) return `needs at least ${Number(minimum)} ${things}`;
  return `must be ${inclusive === false ? "above" : "at least"} ${Number(minimum)}`;
}

function tooBig({
  origin,
  maximum,
  inclusive,
}: Pick<z.core.$ZodIssueTooBig, "origin" | "maximum" | "inclusive">): string {
  const things = counted[origin];
  if (things !== undefined) return `may have at most ${Number(maximum)} ${things}`;
  return `must be ${inclusive === false ? "below" : "at most"} ${Number(maximum)}`;
}

const typeWords: Readonly<Record<string, string>> = {
  string: "text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list",
  tuple: "a list",
  object: "a group of named values",
};

type Issue = z.core.$ZodIssue;

/** The issue worth saying first. In a union it is that of the alternative that the sender most likely meant. */
export function firstPlainIssue(error: ZodError): PlainIssue {
  const first = error.issues[0];
  if (first === undefined) return { field: "", message: "is not understood" };
  const { path, message } = deepest(first, []);
  return { field: path.join("."), message };
}

/** What is wrong with each field, in the order of the schema; of a field's several faults the first. */
export function plainIssues(error: ZodError): PlainIssue[] {
  const issues = error.issues.map((issue) => {
    const { path, message } = deepest(issue, []);
    return { field: path.join("."), message };
  });
  return issues.filter(({ field }, index) => issues.findIndex((other) => other.field === field) === index);
}

function deepest(issue: Issue, before: readonly PropertyKey[]): { path: string[]; message: string } {
  const path = [...before, ...issue.path];
  if (issue.code !== "invalid_union" || issue.errors.length === 0)
    return { path: path.map(String), message: issue.message };
  const alternatives = issue.errors.filter((issues) => issues.length > 0);
  if (alternatives.every(isWrongKind)) {
    const kinds = [
      ...new Set(
        alternatives.flatMap((issues) =>
          issues.flatMap((each) => (isKindIssue(each) && each.code === "invalid_value" ? each.values.map(String) : [])),
        ),
      ),
    ];
    const isMissing = alternatives.some((issues) =>
      issues.some((each) => isKindIssue(each) && each.message === missing),
    );
    return {
      path: [...path.map(String), "kind"],
      message: `${isMissing ? "is missing: it " : ""}must be one of ${kinds.map((kind) => `"${kind}"`).join(", ")}`,
    };
  }
  const likeliest = alternatives
    .filter((issues) => !isWrongKind(issues))
    .map((issues, order) => ({ issues, order, strangeness: strangenessOf(issues) }))
    .sort((a, b) => a.strangeness - b.strangeness || b.order - a.order)[0];
  const worst = likeliest?.issues.find((each) => each.message !== missing) ?? likeliest?.issues[0];
  if (worst === undefined) return { path: path.map(String), message: issue.message };
  return deepest(worst, path);
}

function isKindIssue(issue: Issue): boolean {
  return issue.path.length === 1 && issue.path[0] === "kind";
}

function isWrongKind(issues: readonly Issue[]): boolean {
  return issues.some(isKindIssue);
}

/** A field that is there but wrong speaks for an alternative; a field that is absent speaks against it. */
function strangenessOf(issues: readonly Issue[]): number {
  return issues.reduce((sum, issue) => sum + (issue.message === missing ? 1 : -1), 0);
}
