// Lights, papers and fabrics, coatings and films: what there is, what each was used for, and changing it.
import express, { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { deleteMaterial } from "#src/studio/safekeeping/bin.ts";
import { addMaterial, changeMaterial } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble, type FormNames } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { filmLightChanges, filmLightLabels, filmLightNames } from "./film-lights.ts";
import { kindWords, materialInputFrom, materialKindOf, materialKinds, materialValuesOf } from "./forms.ts";
import { materialListView, materialView } from "./view.ts";

const maxFormBytes = 100_000;
const labels = {
  ...Object.fromEntries(
    materialKinds.flatMap((kind) => kindWords[kind].fields.map(({ name, label }) => [name, label] as const)),
  ),
  ...filmLightLabels,
};

export function materialPageRoutes(tools: Pick<Tools, "store">): Router {
  const { store } = tools;
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function kindOf(word: string): MaterialKind {
    const kind = materialKindOf(word);
    if (kind === undefined)
      throw new InputError("not-found", "There is no such kind of material. Start from the list of materials.");
    return kind;
  }

  function showList(
    response: Response,
    problem: { kind: MaterialKind; values: FormValues; errors: FieldErrors } | null,
  ): void {
    renderPage(
      response,
      "materials/list",
      { title: "Materials", here: "materials", status: problem === null ? 200 : 400 },
      materialListView(store, problem),
    );
  }

  function showOne(
    response: Response,
    kind: MaterialKind,
    id: string,
    values: FormValues | null,
    errors: FieldErrors,
    status: number,
  ): void {
    renderPage(
      response,
      "materials/show",
      { title: store[kind].get(id).name, here: "materials", record: `${kind}/${id}`, status },
      materialView(store, { kind, id, values, errors }),
    );
  }

  /** Runs the work; trouble with what was typed goes back to the form. */
  function orShow(work: () => void, show: (errors: FieldErrors, status: number) => void, names: FormNames = []): void {
    try {
      work();
    } catch (error) {
      if (error instanceof InputError && error.code === "not-found") throw error;
      const isOld = error instanceof InputError && error.code === "changed-meanwhile";
      const { errors, status } = formTrouble(error, {
        field: "name",
        names: isOld ? [[/^/, "version"]] : names,
        labels,
      });
      show(errors, status);
    }
  }

  router.get("/materials", (_request, response) => {
    showList(response, null);
  });
  router.post("/materials/:kind", form, (request, response) => {
    const kind = kindOf(String(request.params["kind"]));
    const values = formValuesFrom(request.body);
    orShow(
      () =>
        response.redirect(303, `/materials/${kind}/${addMaterial(tools, kind, materialInputFrom(kind, values)).id}`),
      (errors) => showList(response, { kind, values, errors }),
    );
  });
  router.get("/materials/:kind/:id", (request, response) => {
    showOne(response, kindOf(request.params.kind), request.params.id, null, {}, 200);
  });
  router.post("/materials/:kind/:id", form, (request, response) => {
    const kind = kindOf(String(request.params["kind"]));
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    orShow(
      () => {
        const seenVersion = textOf(values, "version") || undefined;
        // Fields that the form does not show are kept.
        changeMaterial(tools, { kind, id, changes: materialInputFrom(kind, values), seenVersion });
        response.redirect(303, `/materials/${kind}/${id}`);
      },
      (errors, status) => showOne(response, kind, id, values, errors, status),
    );
  });
  router.post("/materials/films/:id/lights", form, (request, response) => {
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    orShow(
      () => {
        const changes = filmLightChanges(store.films.get(id), values, new Date().toISOString().slice(0, 10));
        changeMaterial(tools, { kind: "films", id, changes });
        response.redirect(303, `/materials/films/${id}`);
      },
      (errors, status) => {
        const typed = { ...materialValuesOf("films", store.films.get(id)), ...values };
        showOne(response, "films", id, typed, errors, status);
      },
      filmLightNames,
    );
  });
  router.post("/materials/:kind/:id/delete", form, (request, response) => {
    const kind = kindOf(String(request.params["kind"]));
    const id = String(request.params["id"]);
    orShow(
      () => {
        deleteMaterial(tools, kind, id);
        response.redirect(303, "/materials");
      },
      (errors, status) => showOne(response, kind, id, null, errors, status),
    );
  });
  return router;
}
