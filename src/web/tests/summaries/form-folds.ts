// Which parts of the test form are folded, and what they say while they are: a new test mostly takes light, paper and
// tablet of the one before, and then nothing of them need be looked at but one line.
import { textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import type { MaterialField } from "#src/web/parts/material-fields.ts";
import type { TabletsToChoose } from "#src/web/tests/form-view.ts";

/** What each part says while it is folded; null where it stands open. */
export interface FormFolds {
  readonly tablet: string | null;
  readonly materials: string | null;
}

interface Facts {
  readonly values: FormValues;
  readonly errors: FieldErrors;
  readonly materials: readonly MaterialField[];
  readonly tablets: TabletsToChoose;
  /** Whether the choices are those of the last test. */
  readonly isAsBefore: boolean;
}

/** Kinds that hold for more than one print as they are; a strip's own times or counts are looked at each time. */
const lasting = /^(even-\d+|listed|levels|sheet|own-.+)$/;

export function formFolds({ values, errors, materials, tablets, isAsBefore }: Facts): FormFolds {
  const chosen = textOf(values, "tabletChoice");
  const label = [...tablets.shown, ...tablets.others].find(({ value }) => value === chosen)?.label;
  const isTabletWrong = ["tabletChoice", "firstDensity", "densities", "levels"].some(
    (name) => errors[name] !== undefined,
  );
  return {
    tablet: isAsBefore && lasting.test(chosen) && !isTabletWrong ? (label ?? null) : null,
    materials: materialsSay(materials),
  };
}

/** All that is needed was chosen, and nothing of it is wrong. */
function materialsSay(materials: readonly MaterialField[]): string | null {
  const isSettled = materials.every(
    ({ selected, newValue, optional, error }) =>
      error === "" && newValue === "" && (selected !== "" || optional !== ""),
  );
  if (!isSettled) return null;
  return materials
    .flatMap(({ options, selected }) => options.filter(({ id }) => id === selected).map(({ name }) => name))
    .join(", ");
}
