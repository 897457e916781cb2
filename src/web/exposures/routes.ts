// Exposure lookup: choose light, paper or fabric, coating and film; the time, its range, and where it comes from.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { formatShare } from "#shared/format/number.ts";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { depthOfCoating, findNextBestTests, lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";
import { exposureResultView, type ExposureResultView } from "./view.ts";
import {
  batchOfAnotherCoating,
  batchOptions,
  chosenBatch,
  otherCoating,
  selectedBatch,
} from "#src/web/parts/batch-choice.ts";
import type { StoreReader } from "#src/store/store.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { recordChoices, type FieldView } from "#src/web/parts/field-view.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

const fields: readonly {
  readonly name: string;
  readonly kind: MaterialKind;
  readonly label: string;
  readonly empty: string;
}[] = [
  { name: "lampId", kind: "lamps", label: "Light", empty: "Choose …" },
  { name: "supportId", kind: "supports", label: "Paper or fabric", empty: "Choose …" },
  { name: "coatingId", kind: "coatings", label: "Coating", empty: "Choose …" },
  { name: "filmId", kind: "films", label: "Film of the negative", empty: "No film" },
];

/** Depths of blue offered, as shares of net D-max, and the usual one. Source: common practice, no source. */
const shares = ["0.8", "0.85", "0.9", "0.95", "0.97", "0.99"];
const usualShare = "0.9";

/** Ids of the controls, by the names of their fields, from top to bottom. */
const fieldIds: Readonly<Record<string, string>> = {
  lampId: "lookup-lampId",
  supportId: "lookup-supportId",
  coatingId: "lookup-coatingId",
  batchId: "lookup-batchId",
  filmId: "lookup-filmId",
  distanceMm: "lookup-distance",
  lampHours: "lookup-hours",
  share: "lookup-share",
};

/** The batch of the coating, where any are kept. */
function batchFields(store: StoreReader, query: FormValues): FieldView[] {
  const options = batchOptions(store, query);
  if (options.length === 0) return [];
  const newest = { value: "", label: "The newest of this coating" };
  return [{ name: "batchId", id: "lookup-batchId", kind: "select", label: batchLabel, options: [newest, ...options] }];
}

/** @param ownDepth share to which the studio prints the coating */
const furtherFields = (ownDepth: string): readonly FieldView[] => [
  {
    name: "distanceMm",
    id: "lookup-distance",
    kind: "number",
    label: "Distance from the light",
    unit: "mm",
    attributes: { min: 1, max: 10000 },
  },
  {
    name: "lampHours",
    id: "lookup-hours",
    kind: "number",
    label: "Time the lamp has burned",
    unit: "hours",
    attributes: { min: 0, max: 200000 },
  },
  {
    name: "share",
    id: "lookup-share",
    kind: "select",
    label: "Depth of blue, as a share of the deepest",
    options: [...new Set([...shares, ownDepth])].sort().map((value) => ({
      value,
      label: `${formatShare(Number(value))}${depthRemark(value, ownDepth)}`,
    })),
  },
];

const isOffered = (share: string, ownDepth: string): boolean => share === ownDepth || shares.includes(share);

function depthRemark(share: string, ownDepth: string): string {
  if (share === usualShare) return " (usual)";
  return share === ownDepth ? " (this coating's)" : "";
}

const batchLabel = "Batch of the coating";
const labels = {
  ...Object.fromEntries([...fields, ...furtherFields(usualShare)].map(({ name, label }) => [name, label])),
  batchId: batchLabel,
};

export function exposurePageRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/exposures", modelReady(tools), (request, response) => {
    const query = formValuesFrom(request.query);
    const ownDepth = String(depthOfCoating(store, textOf(query, "coatingId")));
    let errors: FieldErrors = {};
    let result: ExposureResultView | null = null;
    // A link may choose one material and leave the rest open: then the page only asks for the rest.
    const isComplete = ["lampId", "supportId", "coatingId"].every((name) => textOf(query, name) !== "");
    const batchId = chosenBatch(store, query, textOf(query, "coatingId"));
    if (batchId === otherCoating) errors = { batchId: batchOfAnotherCoating };
    else if (isComplete) {
      try {
        const asked = exposureQuerySchema.parse({ share: ownDepth, ...filled({ ...query, batchId: batchId ?? "" }) });
        result = exposureResultView(store, lookUpExposure({ store }, asked), findNextBestTests({ store }, asked));
      } catch (error) {
        if (error instanceof InputError && error.code !== "bad-request") throw error;
        ({ errors } = formTrouble(error, { labels }));
      }
    }
    const chosen = new URLSearchParams(
      [...fields.map(({ name }) => name), "batchId"].flatMap((name): [string, string][] =>
        textOf(query, name) === "" ? [] : [[name, textOf(query, name)]],
      ),
    );
    renderPage(
      response,
      "exposures/show",
      {
        title: "Exposure lookup",
        here: "exposures",
        status: Object.keys(errors).length > 0 ? 400 : 200,
      },
      {
        fields: fields.flatMap(({ name, kind, label, empty }): FieldView[] => {
          const options = recordChoices(empty, store[kind].list());
          const field: FieldView = { name, id: fieldIds[name] ?? name, kind: "select", label, options };
          return [field, ...(name === "coatingId" ? batchFields(store, query) : [])];
        }),
        further: furtherFields(ownDepth),
        values: {
          ...query,
          batchId: selectedBatch(batchOptions(store, query), query),
          share: isOffered(textOf(query, "share"), ownDepth) ? textOf(query, "share") : ownDepth,
        },
        errors,
        summary: errorSummary(errors, Object.entries(fieldIds)),
        furtherOpen:
          ["distanceMm", "lampHours"].some((name) => textOf(query, name) !== "") ||
          !["", ownDepth].includes(textOf(query, "share")),
        result,
        newTestQuery: chosen.toString(),
      },
    );
  });
  return router;
}

/** Fields that hold something; an empty field of a form is as good as absent. */
function filled(query: FormValues): FormValues {
  return Object.fromEntries(Object.entries(query).filter(([, value]) => value.trim() !== ""));
}
