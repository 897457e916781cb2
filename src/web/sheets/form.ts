// What was asked of a wedge sheet, or what is wrong with it.
import { InputError } from "#shared/errors.ts";
import { sheetRequestSchema, type SheetRequest } from "#shared/schema/sheet.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { problemFrom } from "#src/web/problem.ts";

export function sheetOptionsFrom(asked: FormValues): {
  options: SheetRequest | null;
  problem: { field: string; text: string } | null;
} {
  try {
    const options = sheetRequestSchema.parse(asked);
    sheetPage(sheetLayout(options), options.paper);
    return { options, problem: null };
  } catch (error) {
    const problem = problemFrom(error);
    if (problem.status >= 500 && !(error instanceof InputError)) throw error;
    return { options: null, problem: { field: problem.field ?? "", text: problem.detail } };
  }
}
