// Lights, papers and fabrics, coatings and films: what there is, what each was used for, and changing it.
import express, { Router, type Response } from "express";
import { ZodError } from "zod";
import { InputError } from "#shared/errors.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { Reciprocity } from "#shared/lamp/reciprocity.ts";
import { lampAgeingWords } from "#shared/words/lamp-words.ts";
import { lampHistory, type LampHistory } from "#src/studio/lamp-history.ts";
import type { Tools } from "#src/studio/tools.ts";
import { firstPlainIssue } from "#src/web/plain-issues.ts";
import { problemFrom } from "#src/web/problem.ts";
import { formValuesFrom, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { lampPlot } from "#src/web/studio/lamp-plot.ts";
import { kindWords, materialInputFrom, materialKindOf, materialKinds, materialValuesOf } from "./forms.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testCard } from "#src/web/tests/card.ts";

const maxFormBytes = 100_000;
/** Tests shown on a material's own page; the rest is one click further. */
const shownTests = 12;

const testFilterNames = { lamps: "lampId", supports: "supportId", coatings: "coatingId", films: "filmId" } as const;

/** What the exponent means at the box. */
function reciprocityText({ exponent, lower, upper }: Reciprocity): string {
  const range =
    lower === null || upper === null
      ? "two tests leave nothing to judge the scatter by"
      : `between ${formatFixed(lower, 2)} and ${formatFixed(upper, 2)} with 95 % confidence`;
  const isEven = lower !== null && upper !== null && lower <= 1 && upper >= 1;
  return `Reciprocity exponent ${formatFixed(exponent, 2)} (${range}), from tests at different distances. ${isEven ? "Half the light for twice the time gives the same print, as far as these tests tell." : exponent < 1 ? "Weak light needs more than its share of time." : "Weak light needs less than its share of time; the size of the lamp may be entered wrongly."}`;
}

export function materialPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function kindOf(word: string): MaterialKind {
    const kind = materialKindOf(word);
    if (kind === undefined)
      throw new InputError("not-found", "There is no such kind of material. Start from the list of materials.");
    return kind;
  }

  function create(kind: MaterialKind, input: unknown): string {
    switch (kind) {
      case "lamps":
        return store.lamps.create(lampInputSchema.parse(input)).id;
      case "supports":
        return store.supports.create(supportInputSchema.parse(input)).id;
      case "coatings":
        return store.coatings.create(coatingInputSchema.parse(input)).id;
      case "films":
        return store.films.create(filmInputSchema.parse(input)).id;
    }
  }

  /** Fields that the form does not show are kept. */
  function replace(kind: MaterialKind, id: string, input: Readonly<Record<string, unknown>>): void {
    switch (kind) {
      case "lamps":
        store.lamps.replace(id, lampInputSchema.parse({ ...store.lamps.get(id), ...input }));
        return;
      case "supports":
        store.supports.replace(id, supportInputSchema.parse({ ...store.supports.get(id), ...input }));
        return;
      case "coatings":
        store.coatings.replace(id, coatingInputSchema.parse({ ...store.coatings.get(id), ...input }));
        return;
      case "films":
        store.films.replace(id, filmInputSchema.parse({ ...store.films.get(id), ...input }));
    }
  }

  function showList(
    response: Response,
    problem: { kind: MaterialKind; values: FormValues; errors: FieldErrors } | null,
  ): void {
    renderPage(
      response,
      "materials/list",
      { title: "Materials", here: "materials", status: problem === null ? 200 : 400 },
      {
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
      },
    );
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

  function showOne(
    response: Response,
    kind: MaterialKind,
    id: string,
    values: FormValues | null,
    errors: FieldErrors,
    status: number,
  ): void {
    const material = store[kind].get(id);
    const filter = { [testFilterNames[kind]]: id };
    const history: LampHistory | null = kind === "lamps" ? lampHistory({ store }, id) : null;
    renderPage(
      response,
      "materials/show",
      { title: material.name, here: "materials", status },
      {
        kind,
        id,
        ...words(kind),
        values: values ?? materialValuesOf(kind, material),
        errors,
        tests: store.tests.list({ ...filter, limit: shownTests }).tests.map((test) => testCard(store, test)),
        plot: history === null ? null : lampPlot(history),
        trend: history === null ? null : lampAgeingWords(history.ageing.finding),
        reciprocity: history?.reciprocity == null ? null : reciprocityText(history.reciprocity),
        isRetestDue: history?.ageing.shouldRetest ?? false,
        count: store[kind].countTests(id),
        allHref: `/tests?${new URLSearchParams(filter).toString()}`,
        lookupHref: kind === "films" ? null : `/exposures?${new URLSearchParams(filter).toString()}`,
      },
    );
  }

  /** Runs the work; trouble with what was typed goes back to the form. */
  function orShow(work: () => void, show: (errors: FieldErrors, status: number) => void): void {
    try {
      work();
    } catch (error) {
      if (error instanceof ZodError) {
        const { field, message } = firstPlainIssue(error);
        show({ [field || "name"]: `${message.charAt(0).toUpperCase()}${message.slice(1)}.` }, 400);
      } else if (error instanceof InputError && error.code !== "not-found")
        show({ name: error.detail }, problemFrom(error).status);
      else throw error;
    }
  }

  router.get("/materials", (_request, response) => {
    showList(response, null);
  });
  router.post("/materials/:kind", form, (request, response) => {
    const kind = kindOf(String(request.params["kind"]));
    const values = formValuesFrom(request.body);
    orShow(
      () => response.redirect(303, `/materials/${kind}/${create(kind, materialInputFrom(kind, values))}`),
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
        replace(kind, id, materialInputFrom(kind, values));
        response.redirect(303, `/materials/${kind}/${id}`);
      },
      (errors, status) => showOne(response, kind, id, values, errors, status),
    );
  });
  router.post("/materials/:kind/:id/delete", form, (request, response) => {
    const kind = kindOf(String(request.params["kind"]));
    const id = String(request.params["id"]);
    orShow(
      () => {
        store[kind].remove(id);
        response.redirect(303, "/materials");
      },
      (errors, status) => showOne(response, kind, id, null, errors, status),
    );
  });
  return router;
}
