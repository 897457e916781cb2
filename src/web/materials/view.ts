// View objects of the materials: the list of every kind, and one with what it was used for.
import type { MaterialKind } from "#shared/schema/materials.ts";
import { lampAgeingWords, reciprocityWords } from "#shared/words/materials/lamp-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { lampHistory } from "#src/studio/lamps/lamp-history.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { distancePlot, lampPlot } from "#src/web/studio/lamp-plot.ts";
import { newestCards } from "#src/web/tests/card.ts";
import { filmLightOrder, filmLightRows } from "./film-lights.ts";
import { kindWords, materialKinds, materialValuesOf } from "./forms.ts";

/** Tests shown on a material's own page; the rest is one click further. */
const shownTests = 12;

const testFilterNames = { lamps: "lampId", supports: "supportId", coatings: "coatingId", films: "filmId" } as const;

/** @param problem the form that came back, and what is wrong with it */
export function materialListView(
  store: StoreReader,
  problem: { kind: MaterialKind; values: FormValues; errors: FieldErrors } | null,
) {
  return {
    summary:
      problem === null ? null : errorSummary(problem.errors, fieldOrder(kindWords[problem.kind].fields, problem.kind)),
    kinds: materialKinds.map((kind) => ({
      kind,
      ...words(kind),
      materials: store[kind].list({ archived: true }).map((material) => ({
        id: material.id,
        name: material.name,
        archived: material.archived,
        tests: store[kind].countTests(material.id),
      })),
      isOpen: problem?.kind === kind,
      values: problem?.kind === kind ? problem.values : {},
      errors: problem?.kind === kind ? problem.errors : {},
    })),
  };
}

/** @param prefix that the page gives the ids of its controls */
function fieldOrder(fields: readonly { readonly name: string }[], prefix: string): FieldOrder {
  return fields.map(({ name }) => [name, `${prefix}-${name}`] as const);
}

function words(kind: MaterialKind): {
  plural: string;
  one: string;
  intro: string;
  fields: (typeof kindWords)[MaterialKind]["fields"];
} {
  const { plural, one, intro, fields } = kindWords[kind];
  return { plural, one, intro, fields };
}

interface MaterialParts {
  readonly kind: MaterialKind;
  readonly id: string;
  /** What was typed; null shows the record. */
  readonly values: FormValues | null;
  readonly errors: FieldErrors;
}

export function materialView(store: StoreReader, { kind, id, values, errors }: MaterialParts) {
  const material = store[kind].get(id);
  const filter = { [testFilterNames[kind]]: id };
  const history = kind === "lamps" ? lampHistory({ store }, id) : null;
  return {
    kind,
    id,
    ...words(kind),
    version: material.updatedAt,
    // What was typed on an older version stays in the form; beside it stands what others saved.
    meanwhile:
      values === null || errors["version"] === undefined
        ? null
        : typedAndSaved(values, materialValuesOf(kind, material)),
    values: values ?? materialValuesOf(kind, material),
    errors,
    summary: errorSummary(errors, [...fieldOrder(kindWords[kind].fields, "edit"), ...filmLightOrder]),
    tests: newestCards(store, { ...filter, limit: shownTests }),
    lights: kind === "films" ? filmLightRows(store, store.films.get(id)) : null,
    plot: history === null ? null : lampPlot(history),
    distancePlot: history === null ? null : distancePlot(history),
    trend: history === null ? null : lampAgeingWords(history.ageing.finding),
    reciprocity: history?.reciprocity == null ? null : reciprocityWords(history.reciprocity),
    isRetestDue: history?.ageing.shouldRetest ?? false,
    count: store[kind].countTests(id),
    allHref: `/tests?${new URLSearchParams(filter).toString()}`,
    lookupHref: kind === "films" ? null : `/exposures?${new URLSearchParams(filter).toString()}`,
  };
}

/** What stands in the form against what others saved meanwhile, where they differ. */
function typedAndSaved(typed: FormValues, saved: FormValues): { field: string; yours: string; theirs: string }[] {
  return Object.keys(typed)
    .filter((field) => field !== "version")
    .map((field) => ({ field, yours: textOf(typed, field), theirs: textOf(saved, field) }))
    .filter(({ yours, theirs }) => yours !== theirs);
}
