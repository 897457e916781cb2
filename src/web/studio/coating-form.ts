// The form of a coating as a batch: recipe lines, bottles, and the procedure of its prints, read back into a record.
import { writtenFigures } from "#shared/format/number.ts";
import { defaultProcedure } from "#shared/prints/procedure.ts";
import { formatDuration, parseDuration } from "#shared/format/duration.ts";
import type { Coating } from "#shared/schema/materials.ts";
import type { Procedure } from "#shared/schema/procedures.ts";
import type { FormWords } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

/** Empty rows offered below those that are filled. */
const spareRows = 2;

export interface RecipeRow {
  readonly amount: string;
  readonly unit: string;
  readonly name: string;
}

export interface ProcedureRow {
  readonly name: string;
  readonly kind: string;
  /** "5:00"; empty when the step ends by looking. */
  readonly time: string;
  readonly note: string;
}

export const stepKinds: readonly { readonly value: string; readonly label: string }[] = [
  { value: "exposure", label: "exposure" },
  { value: "bath", label: "bath" },
  { value: "wash", label: "wash" },
  { value: "dry", label: "drying" },
  { value: "other", label: "something else" },
];

const emptyRecipeRow: RecipeRow = { amount: "", unit: "g", name: "" };
const emptyProcedureRow: ProcedureRow = { name: "", kind: "bath", time: "", note: "" };

export function recipeRows(coating: Coating): RecipeRow[] {
  const lines =
    coating.recipe?.lines.map(({ amount, unit, name }) => ({
      amount: writtenFigures(amount, 6),
      unit,
      name,
    })) ?? [];
  return [...lines, ...Array.from({ length: spareRows }, () => emptyRecipeRow)];
}

export function procedureRows(coating: Coating): ProcedureRow[] {
  const steps = (coating.procedure ?? defaultProcedure).map(({ name, kind, seconds, note }) => ({
    name,
    kind,
    time: seconds === null ? "" : formatDuration(seconds),
    note,
  }));
  return [...steps, ...Array.from({ length: spareRows }, () => emptyProcedureRow)];
}

/** The rows as they were typed, for a page that asks again. */
export function typedRecipeRows(values: FormValues): RecipeRow[] {
  return typedRows(values, "line").map((row) => ({ amount: row("Amount"), unit: row("Unit"), name: row("Name") }));
}

export function typedProcedureRows(values: FormValues): ProcedureRow[] {
  return typedRows(values, "step").map((row) => ({
    name: row("Name"),
    kind: row("Kind"),
    time: row("Time"),
    note: row("Note"),
  }));
}

function typedRows(values: FormValues, prefix: string): ((part: string) => string)[] {
  const count = Array.from({ length: mostRows }, (_, index) => index).filter(
    (index) => values[`${prefix}${index}Name`] !== undefined,
  ).length;
  return Array.from({ length: count }, (_, index) => (part) => textOf(values, `${prefix}${index}${part}`));
}

/** How the form names what the coating's schema names; rows of a list share one place. */
export const coatingWords: FormWords = {
  names: [
    [/^recipe\.lines/, "line0Name"],
    [/^recipe/, "volumeMl"],
    [/^procedure/, "step0Name"],
  ],
  labels: {
    mixedAt: "The day of mixing",
    grade: "The grade",
    lot: "The lot",
    volumeMl: "The volume that the recipe makes",
    line0Name: "An ingredient's name or amount",
    step0Name: "A step of the procedure",
  },
};

/** Most rows that are read back. */
const mostRows = 40;

/** The changed fields of a coating's record; checked by its schema afterwards. */
export function coatingChangesFrom(values: FormValues, stockIds: readonly string[]): Record<string, unknown> {
  const rows = Array.from({ length: mostRows }, (_, index) => index);
  const lines = rows
    .filter((index) => textOf(values, `line${index}Name`) !== "")
    .map((index) => ({
      name: textOf(values, `line${index}Name`),
      amount: numberOf(values, `line${index}Amount`) ?? 0,
      unit: textOf(values, `line${index}Unit`),
    }));
  return {
    mixedAt: textOf(values, "mixedAt") || null,
    grade: textOf(values, "grade") || null,
    lot: textOf(values, "lot") || null,
    stockIds,
    recipe: lines.length === 0 ? null : { volumeMl: numberOf(values, "volumeMl") ?? 0, lines },
    procedure: procedureFrom(values, rows),
  };
}

/** Null when all rows are empty: then the default procedure holds. */
function procedureFrom(values: FormValues, rows: readonly number[]): Partial<Procedure[number]>[] | null {
  const steps = rows
    .filter((index) => textOf(values, `step${index}Name`) !== "")
    .map((index) => {
      const time = textOf(values, `step${index}Time`);
      return {
        name: textOf(values, `step${index}Name`),
        kind: textOf(values, `step${index}Kind`) as Procedure[number]["kind"],
        seconds: time === "" ? null : (parseDuration(time) ?? Number.NaN),
        note: textOf(values, `step${index}Note`),
      };
    });
  return steps.length === 0 ? null : steps;
}
