// The view object of the new-test form, also used for changing what was written about a saved test.
import { lampKindOfName } from "#shared/lamp/kind-of-name.ts";
import type { OwnTablet } from "#shared/schema/tablets.ts";
import { errorSummary, type ErrorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import type { Choice } from "#src/web/parts/field-view.ts";
import { mostFurther, type KeptPictures } from "#src/web/parts/kept-pictures.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";
import type { MaterialField } from "#src/web/parts/material-fields.ts";
import { maxUploadBytes } from "#src/web/upload.ts";
import { quantityChoices } from "./instrument-form.ts";
import { ownTabletValue } from "./tablet-form.ts";
import { stripSeries, type StripSeries } from "./strip-series.ts";
import { formFolds, type FormFolds } from "./summaries/form-folds.ts";
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
  readonly ownTablets: readonly OwnTablet[];
  /** Tests whose strip may lie head to tail with this one's on the same sheet. */
  readonly otherStrips: readonly Choice[];
  /** Where the choices come from. */
  readonly asBefore?: string;
  /** What an empty place under the sun stands for, light by light. */
  readonly placesOfLights?: readonly string[];
}

interface TabletChoice {
  readonly value: string;
  readonly label: string;
  readonly hint: string;
}

/** What views/tests/_tablet.ejs offers. */
export interface TabletsToChoose {
  readonly shown: readonly TabletChoice[];
  readonly others: readonly TabletChoice[];
  /** Whether one of the others is chosen. */
  readonly isOtherOpen: boolean;
}

interface TestFormView extends TestFormParts {
  readonly kept: KeptPictures;
  readonly summary: ErrorSummary | null;
  readonly tablets: TabletsToChoose;
  /** Most bytes of one picture. */
  readonly mostBytes: number;
  /** Most further pictures of one print. */
  readonly mostFurther: number;
  readonly stripSeries: readonly StripSeries[];
  /** What an instrument's numbers may be. */
  readonly quantities: typeof quantityChoices;
  readonly furtherOpen: boolean;
  /** What the folded parts say. */
  readonly folds: FormFolds;
  readonly sunConditions: SunConditionsView;
}

const tabletChoices = [
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
  "wash",
  "peroxide",
  "targetSharePercent",
  "coatingUnevenPercent",
  "headToTailTestId",
  "notes",
  "evenLight",
  "furtherPhoto",
  "referencePatches",
];

/** The form's fields from top to bottom, with the control that each is corrected in where its id is another. */
function fieldOrder(materials: readonly MaterialField[]): FieldOrder {
  return [
    "version",
    "photo",
    "instrumentText",
    "instrumentQuantity",
    "instrumentSigma",
    "instrumentScale",
    "tabletChoice",
    "steps",
    "increment",
    "firstDensity",
    "densities",
    "timedTimes",
    "levels",
    ...materials.map(({ name, options }) => [name, options.length > 0 ? name : `${name}-new`] as const),
    ["exposureSeconds", "exposure-minutes"],
    ["sun", "sunCity"],
    "sunCity",
    ...furtherFields,
  ];
}

/** Kinds that most tests are made with, after the studio's own tablets. */
const usualKinds: readonly string[] = ["even-21", "even-31", "timed"];
/** Kinds for the tone curve alone. */
const toneKinds: readonly string[] = ["levels", "sheet"];

/** The kinds of tablet that a form offers: the studio's own and the usual ones first, the rest under "another kind". */
export function tabletsToChoose(
  chosen: string | undefined,
  { ownTablets = [], forTones = true }: { ownTablets?: readonly OwnTablet[]; forTones?: boolean } = {},
): TabletsToChoose {
  const own = ownTablets.map(({ id, name, densities }) => ({
    value: ownTabletValue(id),
    label: name,
    hint: `your own, ${densities.length} steps`,
  }));
  const isUsual = ({ value }: TabletChoice): boolean => usualKinds.includes(value);
  const offered = tabletChoices.filter(({ value }) => forTones || !toneKinds.includes(value));
  const others = offered.filter((choice) => !isUsual(choice));
  return {
    shown: [...own, ...offered.filter(isUsual)],
    others,
    isOtherOpen: others.some(({ value }) => value === chosen),
  };
}

/** Whether the light is the sun or open shade, chosen or named in place. */
function isUnderSky(materials: readonly MaterialField[]): boolean {
  const kinds = materials.flatMap(({ name, newValue, options, selected }) => {
    if (name !== "lampId") return [];
    return newValue === ""
      ? options.filter(({ id }) => id === selected).map(({ kind }) => kind)
      : [lampKindOfName(newValue)];
  });
  return kinds.includes("sun") || kinds.includes("shade");
}

export function testFormView(parts: TestFormParts): TestFormView {
  const kept = parts.kept ?? { main: "", evenLight: null, further: [] };
  const tablets = tabletsToChoose(parts.values["tabletChoice"], { ownTablets: parts.ownTablets });
  const isAsBefore = (parts.asBefore ?? "") !== "";
  return {
    ...parts,
    kept,
    summary: errorSummary(parts.errors, fieldOrder(parts.materials)),
    tablets,
    folds: parts.photo ? formFolds({ ...parts, tablets, isAsBefore }) : { tablet: null, materials: null },
    mostBytes: maxUploadBytes,
    mostFurther,
    stripSeries,
    quantities: quantityChoices,
    sunConditions: sunConditionsView(parts.values, parts.errors, {
      isSunLamp: isUnderSky(parts.materials),
      placesOfLights: parts.placesOfLights ?? [],
    }),
    furtherOpen:
      kept.evenLight !== null ||
      kept.further.length > 0 ||
      furtherFields.some((name) => parts.errors[name] !== undefined),
  };
}
