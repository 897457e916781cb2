// What was asked of a wedge sheet, or what is wrong with it.
import { sheetRequestSchema, type SheetRequest } from "#shared/schema/sheet.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";

const labels: Readonly<Record<string, string>> = {
  widthMm: "The width",
  levels: "The number of grey levels",
  replicates: "The number of patches",
  dpi: "The resolution",
};

export function sheetOptionsFrom(asked: FormValues): { options: SheetRequest | null; errors: FieldErrors } {
  try {
    const options = sheetRequestSchema.parse(asked);
    inPlainWords(() => sheetPage(sheetLayout(options), options.paper));
    return { options, errors: {} };
  } catch (error) {
    return { options: null, errors: formTrouble(error, { labels }).errors };
  }
}
