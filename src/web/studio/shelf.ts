// Bottles and recipes: stock solutions with their age, recipes scaled to a volume, and each coating as a batch.
import express, { Router, type Response } from "express";
import { ZodError } from "zod";
import { coverageOf, volumeMlForArea } from "#shared/coating/coverage.ts";
import { daysBetween, keepingWarnings, stockKeepsDays } from "#shared/coating/keeping.ts";
import { defaultRecipes, scaledRecipe } from "#shared/coating/recipe.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed } from "#shared/format/number.ts";
import { coatingInputSchema } from "#shared/schema/materials.ts";
import { stockInputSchema, type Recipe } from "#shared/schema/stocks.ts";
import type { Tools } from "#src/studio/tools.ts";
import { firstPlainIssue } from "#src/web/plain-issues.ts";
import { coatingChangesFrom, procedureRows, recipeRows, stepKinds } from "./coating-form.ts";
import { formValuesFrom, isTicked, numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";

const maxFormBytes = 100_000;
/** Volume that recipes are shown for until another is asked for, and the largest that anyone mixes [ml]. */
const usualVolumeMl = 50;
const largestVolumeMl = 100_000;
/** Prints that the coverage is learned from. */
const coveragePrints = 200;
const day = (): string => new Date().toISOString();

export function shelfPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function showShelf(response: Response, values: FormValues, problem: string | null, status: number): void {
    const asked = numberOf(values, "volumeMl");
    const volumeMl = asked !== undefined && asked > 0 && asked <= largestVolumeMl ? asked : usualVolumeMl;
    renderPage(
      response,
      "studio/shelf",
      { title: "Bottles and recipes", here: "studio", status },
      {
        volumeMl,
        problem,
        stocks: store.stocks.list().map((stock) => {
          const age = daysBetween(stock.madeOn, day()) ?? 0;
          return { ...stock, day: formatDay(stock.madeOn), age: ageText(age), isOld: age > stockKeepsDays };
        }),
        recipes: defaultRecipes.map(({ key, name, source, recipe }) => ({
          key,
          name,
          source,
          lines: linesOf(scaledRecipe(recipe, volumeMl)),
        })),
        coatings: store.coatings
          .list()
          .map(({ id, name, mixedAt }) => ({ id, name, mixed: mixedAt ? `mixed on ${formatDay(mixedAt)}` : "" })),
        name: textOf(values, "name"),
        madeOn: textOf(values, "madeOn") || day().slice(0, 10),
      },
    );
  }

  router.get("/studio/shelf", (request, response) => {
    showShelf(response, formValuesFrom(request.query), null, 200);
  });
  router.post("/studio/shelf", form, (request, response) => {
    const values = formValuesFrom(request.body);
    try {
      store.stocks.create(
        stockInputSchema.parse({
          name: textOf(values, "name"),
          madeOn: textOf(values, "madeOn"),
          grade: textOf(values, "grade"),
          lot: textOf(values, "lot"),
        }),
      );
      response.redirect(303, "/studio/shelf");
    } catch (error) {
      if (!(error instanceof ZodError)) throw error;
      showShelf(response, values, plain(error), 400);
    }
  });
  router.post("/studio/shelf/:id/archive", form, (request, response) => {
    const id = String(request.params["id"]);
    store.stocks.replace(id, stockInputSchema.parse({ ...store.stocks.get(id), archived: true }));
    response.redirect(303, "/studio/shelf");
  });

  function showCoating(
    response: Response,
    id: string,
    query: FormValues,
    problem: string | null,
    status: number,
  ): void {
    const coating = store.coatings.get(id);
    const prints = store.prints.list({ coatingId: id, limit: coveragePrints }).prints;
    const coverage = coverageOf(
      prints.flatMap(({ areaCm2, coatingMl }) => (areaCm2 && coatingMl ? [{ areaCm2, coatingMl }] : [])),
    );
    const area = numberOf(query, "areaCm2");
    const wanted =
      area !== undefined && area > 0 && coverage !== null
        ? volumeMlForArea(area, coverage)
        : numberOf(query, "wantedMl");
    const isWanted = wanted !== undefined && wanted > 0 && wanted <= largestVolumeMl;
    const stocks = store.stocks.list({ archived: true });
    const used = stocks.filter((stock) => coating.stockIds?.includes(stock.id));
    renderPage(
      response,
      "studio/coating",
      { title: coating.name, here: "studio", status },
      {
        id,
        problem,
        warnings: keepingWarnings({ usedAt: day(), mixedAt: coating.mixedAt ?? null, stocks: used }).map(
          ({ message }) => message,
        ),
        mixedAt: (coating.mixedAt ?? "").slice(0, 10),
        grade: coating.grade ?? "",
        lot: coating.lot ?? "",
        volumeMl: coating.recipe?.volumeMl ?? "",
        recipeRows: recipeRows(coating),
        stocks: stocks
          .filter((stock) => !stock.archived || used.includes(stock))
          .map(({ id: stockId, name, madeOn }) => ({
            id: stockId,
            name,
            day: formatDay(madeOn),
            isUsed: coating.stockIds?.includes(stockId) === true,
          })),
        procedureRows: procedureRows(coating),
        stepKinds,
        coverage:
          coverage === null
            ? null
            : {
                area: formatFixed(coverage.areaCm2PerMl, 0),
                lower: formatFixed(coverage.lowerCm2PerMl, 0),
                upper: formatFixed(coverage.upperCm2PerMl, 0),
                prints: coverage.prints,
              },
        scaled:
          isWanted && coating.recipe
            ? { volume: formatFixed(wanted, 1), lines: linesOf(scaledRecipe(coating.recipe, wanted)) }
            : null,
        areaCm2: textOf(query, "areaCm2"),
        wantedMl: textOf(query, "wantedMl"),
      },
    );
  }

  router.get("/studio/coatings/:id", (request, response) => {
    showCoating(response, request.params.id, formValuesFrom(request.query), null, 200);
  });
  router.post("/studio/coatings/:id", form, (request, response) => {
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    const stockIds = store.stocks
      .list({ archived: true })
      .map((stock) => stock.id)
      .filter((stockId) => isTicked(values, `stock-${stockId}`));
    try {
      store.coatings.replace(
        id,
        coatingInputSchema.parse({ ...store.coatings.get(id), ...coatingChangesFrom(values, stockIds) }),
      );
      response.redirect(303, `/studio/coatings/${id}`);
    } catch (error) {
      if (!(error instanceof ZodError)) throw error;
      showCoating(response, id, {}, plain(error), 400);
    }
  });
  return router;
}

function plain(error: ZodError): string {
  const { field, message } = firstPlainIssue(error);
  return `${field === "" ? "" : `${field}: `}${message}.`;
}

function ageText(days: number): string {
  return days < 0
    ? "made later than today"
    : days < 60
      ? `${Math.floor(days)} days old`
      : `${Math.floor(days / 30.44)} months old`;
}

function linesOf(recipe: Recipe): { amount: string; name: string }[] {
  return recipe.lines.map(({ amount, unit, name }) => ({ amount: `${Number(amount.toPrecision(3))} ${unit}`, name }));
}
