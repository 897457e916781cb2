// Choosing a lamp, support, coating and film on a form, or adding one in place.
import type { MaterialKind } from "#shared/schema/materials.ts";
import type { StoreReader } from "#src/store/store.ts";
import { idOfName, materialOfName } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";
import {
  batchOfAnotherCoating,
  batchAgeWarnings,
  batchOptions,
  chosenBatch,
  otherCoating,
  selectedBatch,
  unknownBatch,
} from "./batch-choice.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "./form-values.ts";

/** Ids chosen on a form; absent where nothing was. */
export interface MaterialIds {
  readonly lampId?: string;
  readonly supportId?: string;
  readonly coatingId?: string;
  /** Batch of the coating. */
  readonly batchId?: string;
  readonly filmId?: string;
}

/** What views/partials/material-field.ejs prints. */
export interface MaterialField {
  readonly id: string;
  readonly name: string;
  readonly newName: string;
  readonly label: string;
  readonly hint: string;
  readonly addLabel: string;
  readonly options: readonly { readonly id: string; readonly name: string; readonly kind: string }[];
  readonly selected: string;
  readonly newValue: string;
  /** Text of the empty choice where none is allowed. */
  readonly optional: string;
  readonly error: string;
  readonly extra: {
    readonly label: string;
    readonly name: string;
    readonly value: string;
    readonly hint: string;
  } | null;
  /** Batches of the coatings, where any are kept. */
  readonly batches?: BatchChoice | null;
}

interface BatchChoice {
  readonly options: readonly { readonly value: string; readonly label: string }[];
  readonly selected: string;
  /** Of the batch that would be poured. */
  readonly warnings: readonly string[];
  readonly error: string;
}

interface FieldWords {
  readonly kind: MaterialKind;
  readonly name: "lampId" | "supportId" | "coatingId" | "filmId";
  readonly newName: string;
  readonly label: string;
  readonly hint: string;
  readonly addLabel: string;
  readonly optional: string;
  readonly missing: string;
}

const fields: readonly FieldWords[] = [
  {
    kind: "lamps",
    name: "lampId",
    newName: "newLampName",
    label: "Light",
    hint: "The UV box, or the sun.",
    addLabel: "Add another light",
    optional: "",
    missing: "Choose the light, or add it.",
  },
  {
    kind: "supports",
    name: "supportId",
    newName: "newSupportName",
    label: "Paper or fabric",
    hint: "What was coated.",
    addLabel: "Add another paper or fabric",
    optional: "",
    missing: "Choose the paper or fabric, or add it.",
  },
  {
    kind: "coatings",
    name: "coatingId",
    newName: "newCoatingName",
    label: "Coating",
    hint: "The sensitizer as you mix and apply it.",
    addLabel: "Add another coating",
    optional: "",
    missing: "Choose the coating, or add it.",
  },
  {
    kind: "films",
    name: "filmId",
    newName: "newFilmName",
    label: "Film of your negatives",
    hint:
      "The clear film that the next negative is printed on, with its printer. Its base slows the light, so the time " +
      "depends on it.",
    addLabel: "Add another film",
    optional: "No film",
    missing: "",
  },
];

export function materialFields(store: StoreReader, values: FormValues, errors: FieldErrors = {}): MaterialField[] {
  return fields.map(({ kind, name, newName, label, hint, addLabel, optional }) => ({
    id: name,
    name,
    newName,
    label,
    hint,
    addLabel,
    optional,
    options: store[kind]
      .list()
      .map((material) => ({ id: material.id, name: material.name, kind: "kind" in material ? material.kind : "" })),
    selected: textOf(values, name),
    newValue: textOf(values, newName),
    error: errors[name] ?? "",
    extra:
      kind === "films"
        ? {
            label: "Base density under your light, if known",
            name: "newFilmBaseDensity",
            value: textOf(values, "newFilmBaseDensity"),
            hint: "Clear polyester film is often 0.05 to 0.20 (from memory). Leave it empty when you do not know.",
          }
        : null,
    batches: kind === "coatings" ? batchChoice(store, values, errors) : null,
  }));
}

function batchChoice(store: StoreReader, values: FormValues, errors: FieldErrors): BatchChoice | null {
  const options = batchOptions(store, values);
  if (options.length === 0) return null;
  return {
    options: [
      { value: "", label: "The newest of this coating" },
      ...options,
      { value: unknownBatch, label: "Not known" },
    ],
    selected: selectedBatch(options, values),
    warnings: batchAgeWarnings(store, values),
    error: errors["batchId"] ?? "",
  };
}

/** What a form chose, and what is missing of it. */
export interface ChosenMaterials {
  readonly ids: MaterialIds;
  readonly errors: FieldErrors;
}

/** Stands for a material whose name was typed in place and is not kept yet. */
const notYetKept = "new";

/**
 * The ids that the form chose, and what is missing. A name typed in place wins over the list; one that is not kept yet
 * stands as a placeholder until `withMaterialsAdded`, so that a form that comes back has added nothing.
 */
export function chosenMaterials(store: StoreReader, values: FormValues): ChosenMaterials {
  const ids: Partial<Record<FieldWords["name"], string>> = {};
  const errors: FieldErrors = {};
  for (const { kind, name, newName, missing } of fields) {
    const typed = textOf(values, newName);
    const chosen = textOf(values, name);
    if (typed !== "") ids[name] = idOfName({ store }, kind, typed) ?? notYetKept;
    else if (chosen !== "" && store[kind].find(chosen) !== undefined) ids[name] = chosen;
    else if (missing !== "") errors[name] = missing;
  }
  const batchId = chosenBatch(store, values, ids.coatingId ?? "");
  if (batchId === otherCoating) errors["batchId"] = batchOfAnotherCoating;
  return { ids: { ...ids, ...(batchId === undefined ? {} : { batchId }) }, errors };
}

/** The chosen ids once every name typed in place is kept; a name that is already there is not added twice. */
export function withMaterialsAdded<Ids extends { readonly [Name in keyof MaterialIds]?: string | null | undefined }>(
  tools: Pick<Tools, "store">,
  values: FormValues,
  ids: Ids,
): Ids {
  const added: MaterialIds = Object.fromEntries(
    fields
      .filter(({ newName }) => textOf(values, newName) !== "")
      .map(({ kind, name, newName }) => [
        name,
        materialOfName(tools, {
          kind,
          name: textOf(values, newName),
          baseDensity: numberOf(values, "newFilmBaseDensity"),
        }),
      ]),
  );
  return { ...ids, ...added };
}
