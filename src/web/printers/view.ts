// View object of the printers' page, and what its form stands for.
import type { Printer } from "#shared/schema/printers.ts";
import { inkFromText, inkText } from "#shared/tablet/film-inks.ts";
import type { StoreReader } from "#src/store/store.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";

const black = "000000";

/** @param filmIds the ticked films */
export function printerInput(values: FormValues, filmIds: readonly string[]): Record<string, unknown> {
  const ink = textOf(values, "ink");
  return {
    name: textOf(values, "name"),
    mediaSetting: textOf(values, "mediaSetting"),
    dpi: numberOf(values, "dpi") ?? null,
    inks: textOf(values, "inks"),
    notes: textOf(values, "notes"),
    ink: /^#?[0-9a-f]{6}$/i.test(ink || black) ? inkFromText(ink || black) : ink,
    filmIds,
  };
}

function valuesOf(printer: Printer): FormValues {
  return {
    name: printer.name,
    mediaSetting: printer.mediaSetting,
    dpi: printer.dpi == null ? "" : String(printer.dpi),
    inks: printer.inks,
    notes: printer.notes,
    ink: inkText(printer.ink) === black ? "" : inkText(printer.ink),
  };
}

export function printersView(
  store: StoreReader,
  { id, values, errors = {} }: { readonly id?: string; readonly values?: FormValues; readonly errors?: FieldErrors },
) {
  const films = store.films.list();
  const changed = id === undefined ? null : store.printers.get(id);
  return {
    printers: store.printers.list().map((printer) => ({
      id: printer.id,
      name: printer.name,
      about: [
        printer.mediaSetting,
        printer.dpi == null ? "" : `${printer.dpi} dots per inch`,
        printer.inks,
        inkText(printer.ink) === black ? "" : `ink sent ${inkText(printer.ink)}`,
        films
          .filter(({ printerId }) => printerId === printer.id)
          .map(({ name }) => name)
          .join(", "),
      ].filter((part) => part !== ""),
      notes: printer.notes,
      sheetHref: `/sheets?${new URLSearchParams({
        ...(inkText(printer.ink) === black ? {} : { ink: inkText(printer.ink) }),
        ...(printer.dpi == null ? {} : { dpi: String(Math.min(720, Math.max(100, printer.dpi))) }),
      }).toString()}`,
    })),
    changed: changed === null ? null : { id: changed.id, name: changed.name, version: changed.updatedAt },
    values: values ?? (changed === null ? {} : valuesOf(changed)),
    errors,
    summary: errorSummary(errors),
    films: films.map((film) => ({ id: film.id, name: film.name, isChosen: id !== undefined && film.printerId === id })),
  };
}
