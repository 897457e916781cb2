// What views/partials/field.ejs prints, where a page builds its fields from a table.

/** An entry of a select. */
export interface Choice {
  readonly value: string;
  readonly label: string;
}

/** One field of a form; a missing value or error is looked up in the view's own by the field's name. */
export interface FieldView {
  readonly name: string;
  readonly id: string;
  readonly kind: "number" | "text" | "date" | "textarea" | "select";
  readonly label: string;
  readonly unit?: string;
  readonly hint?: string;
  readonly options?: readonly Choice[];
  readonly attributes?: Readonly<Record<string, string | number | boolean>>;
}

/** Records as entries of a select, below an entry that chooses none of them. */
export function recordChoices(
  none: string,
  records: readonly { readonly id: string; readonly name: string }[],
): readonly Choice[] {
  return [{ value: "", label: none }, ...records.map(({ id, name }) => ({ value: id, label: name }))];
}

/** Tests as entries of a select, below one that asks to choose. */
export function testChoices(
  tests: readonly { readonly id: string; readonly title: string; readonly day: string }[],
): readonly Choice[] {
  return recordChoices(
    "Choose …",
    tests.map(({ id, title, day }) => ({ id, name: `${title}, ${day}` })),
  );
}
