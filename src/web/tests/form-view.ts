// The view object of the new-test form, also used for changing what was written about a saved test.
import { errorSummary, type ErrorSummary } from "#src/web/parts/form-errors.ts";
import type { KeptPictures } from "#src/web/parts/kept-pictures.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";
import type { MaterialField } from "#src/web/parts/material-fields.ts";
import { stripSeries, type StripSeries } from "./strip-series.ts";
import { sunConditionsView, type SunConditionsView } from "#src/web/parts/sun-conditions-form.ts";

export interface TestFormParts {
  readonly action: string;
  readonly lead: string;
  readonly sendLabel: string;
  readonly values: FormValues;
  readonly errors: FieldErrors;
  /** Whether the form takes a picture. */
  readonly photo: boolean;
  /** Pictures that were sent before and are kept. */
  readonly kept?: KeptPictures;
  readonly materials: readonly MaterialField[];
}

export interface TestFormView extends TestFormParts {
  readonly kept: KeptPictures;
  readonly summary: ErrorSummary | null;
  readonly tabletChoices: readonly { readonly value: string; readonly label: string; readonly hint: string }[];
  readonly stripSeries: readonly StripSeries[];
  readonly furtherOpen: boolean;
  readonly sunConditions: SunConditionsView;
}

export const tabletChoices = [
  { value: "even-21", label: "Film tablet, 21 steps", hint: "0.15 apart (common practice)" },
  { value: "even-31", label: "Film tablet, 31 steps", hint: "0.10 apart (common practice)" },
  { value: "even-41", label: "Film tablet, 41 steps", hint: "0.05 apart (common practice)" },
  { value: "even-other", label: "Film tablet, other count", hint: "you say how many steps and how far apart" },
  { value: "listed", label: "Film tablet, measured", hint: "you type or paste its densities" },
  { value: "timed", label: "Strip uncovered in steps", hint: "no tablet needed: each step has its own time" },
  { value: "levels", label: "Strip of grey levels", hint: "printed on your own film, for the tone curve" },
  { value: "sheet", label: "Our wedge sheet", hint: "printed on your own film, for the tone curve" },
] as const;

const furtherFields = [
  "name",
  "madeAt",
  "lampDistanceMm",
  "lampHours",
  "humidityPercent",
  "temperatureC",
  "targetSharePercent",
  "notes",
  "evenLight",
  "furtherPhoto",
  "referencePatches",
];

/** The form's fields from top to bottom. */
const fieldOrder: readonly string[] = [
  "version",
  "photo",
  "tabletChoice",
  "steps",
  "increment",
  "firstDensity",
  "densities",
  "timedTimes",
  "levels",
  "lampId",
  "supportId",
  "coatingId",
  "filmId",
  "exposureSeconds",
  "sun",
  ...furtherFields,
];

export function testFormView(parts: TestFormParts): TestFormView {
  const kept = parts.kept ?? { main: "", evenLight: null, further: [] };
  return {
    ...parts,
    kept,
    summary: errorSummary(parts.errors, fieldOrder),
    tabletChoices,
    stripSeries,
    sunConditions: sunConditionsView(
      parts.values,
      parts.errors,
      parts.materials.some((field) =>
        field.options.some(
          (option) => option.id === field.selected && (option.kind === "sun" || option.kind === "shade"),
        ),
      ),
    ),
    furtherOpen:
      kept.evenLight !== null ||
      kept.further.length > 0 ||
      furtherFields.some((name) => parts.errors[name] !== undefined),
  };
}
