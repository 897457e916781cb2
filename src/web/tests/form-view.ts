// The view object of the new-test form, also used for changing what was written about a saved test.
import type { KeptFurther } from "#src/web/parts/further-pictures.ts";
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
  /** A picture that was sent before and is kept. */
  readonly pictureId: string;
  /** Further pictures that were sent before and are kept. */
  readonly kept?: KeptFurther;
  readonly materials: readonly MaterialField[];
}

export interface TestFormView extends TestFormParts {
  readonly kept: KeptFurther;
  readonly notice: { readonly tone: "stop"; readonly word: string; readonly text: string } | null;
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

export function testFormView(parts: TestFormParts): TestFormView {
  const count = Object.keys(parts.errors).length;
  const kept = parts.kept ?? { evenLight: null, photos: [] };
  return {
    ...parts,
    kept,
    notice:
      count === 0
        ? null
        : {
            tone: "stop",
            word: count === 1 ? "One thing needs another look" : `${count} things need another look`,
            text: Object.values(parts.errors).join(" "),
          },
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
      kept.photos.length > 0 ||
      furtherFields.some((name) => parts.errors[name] !== undefined),
  };
}
