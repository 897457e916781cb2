// Exposure lookup: choose light, paper or fabric, coating and film; the time, its range, and where it comes from.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";
import { exposureResultView, type ExposureResultView } from "./view.ts";
import { formValuesFrom, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
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

/** Depths of blue offered, as shares of net D-max; 0.9 is the usual one. Source: common practice, no source. */
const shares = ["0.8", "0.85", "0.9", "0.95"];

export function exposurePageRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/exposures", modelReady(tools), (request, response) => {
    const query = formValuesFrom(request.query);
    const errors: Record<string, string> = {};
    let result: ExposureResultView | null = null;
    let problem: string | null = null;
    // A link may choose one material and leave the rest open: then the page only asks for the rest.
    const isComplete = ["lampId", "supportId", "coatingId"].every((name) => textOf(query, name) !== "");
    if (isComplete) {
      try {
        result = exposureResultView(store, lookUpExposure({ store }, exposureQuerySchema.parse(filled(query))));
      } catch (error) {
        if (error instanceof InputError && error.code !== "bad-request") throw error;
        const { "": general, ...ofFields } = formTrouble(error).errors;
        problem = general ?? null;
        Object.assign(errors, ofFields);
      }
    }
    const chosen = new URLSearchParams(
      fields.flatMap(({ name }): [string, string][] =>
        textOf(query, name) === "" ? [] : [[name, textOf(query, name)]],
      ),
    );
    renderPage(
      response,
      "exposures/show",
      {
        title: "Exposure lookup",
        here: "exposures",
        status: problem !== null || Object.keys(errors).length > 0 ? 400 : 200,
      },
      {
        fields: fields.map(({ name, kind, label, empty }) => ({
          name,
          label,
          empty,
          options: store[kind].list().map((material) => ({ id: material.id, name: material.name })),
          selected: textOf(query, name),
          error: errors[name] ?? "",
        })),
        shares: shares.map((value) => ({
          value,
          label: `${Math.round(Number(value) * 100)} %${value === "0.9" ? " (usual)" : ""}`,
        })),
        share: shares.includes(textOf(query, "share")) ? textOf(query, "share") : "0.9",
        distanceMm: textOf(query, "distanceMm"),
        lampHours: textOf(query, "lampHours"),
        furtherOpen:
          ["distanceMm", "lampHours"].some((name) => textOf(query, name) !== "") ||
          !["", "0.9"].includes(textOf(query, "share")),
        problem,
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
