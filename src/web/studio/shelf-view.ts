// View objects of the shelf with its bottles and recipes, and of one coating as a batch.
import { coverageOf, volumeMlForArea } from "#shared/coating/coverage.ts";
import { daysBetween, keepingWarnings, stockKeepsDays } from "#shared/coating/keeping.ts";
import { keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import { defaultRecipes, scaledRecipe } from "#shared/coating/recipe.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { Recipe } from "#shared/schema/stocks.ts";
import type { StoreReader } from "#src/store/store.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import { procedureRows, recipeRows, stepKinds } from "./coating-form.ts";

/** Volume that recipes are shown for until another is asked for, and the largest that anyone mixes [ml]. */
const usualVolumeMl = 50;
const largestVolumeMl = 100_000;
/** Prints that the coverage is learned from. */
const coveragePrints = 200;

interface ShelfParts {
  readonly values: FormValues;
  readonly problem: string | null;
  /** Instant, ISO 8601. */
  readonly now: string;
}

export function shelfView(store: StoreReader, { values, problem, now }: ShelfParts) {
  const asked = numberOf(values, "volumeMl");
  const volumeMl = asked !== undefined && asked > 0 && asked <= largestVolumeMl ? asked : usualVolumeMl;
  return {
    volumeMl,
    problem,
    stocks: store.stocks.list().map((stock) => {
      const age = daysBetween(stock.madeOn, now) ?? 0;
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
    madeOn: textOf(values, "madeOn") || now.slice(0, 10),
  };
}

interface CoatingParts {
  readonly id: string;
  /** Asked area or volume. */
  readonly query: FormValues;
  readonly problem: string | null;
  readonly now: string;
}

export function coatingView(store: StoreReader, { id, query, problem, now }: CoatingParts) {
  const coating = store.coatings.get(id);
  const prints = store.prints.list({ coatingId: id, limit: coveragePrints }).prints;
  const coverage = coverageOf(
    prints.flatMap(({ areaCm2, coatingMl }) => (areaCm2 && coatingMl ? [{ areaCm2, coatingMl }] : [])),
  );
  const area = numberOf(query, "areaCm2");
  const wanted =
    area !== undefined && area > 0 && coverage !== null ? volumeMlForArea(area, coverage) : numberOf(query, "wantedMl");
  const isWanted = wanted !== undefined && wanted > 0 && wanted <= largestVolumeMl;
  const stocks = store.stocks.list({ archived: true });
  const used = stocks.filter((stock) => coating.stockIds?.includes(stock.id));
  return {
    id,
    problem,
    warnings: keepingWarnings({ usedAt: now, mixedAt: coating.mixedAt ?? null, stocks: used }).map(keepingWarningWords),
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
  };
}

function ageText(days: number): string {
  if (days < 0) return "made later than today";
  return days < 60 ? `${Math.floor(days)} days old` : `${Math.floor(days / 30.44)} months old`;
}

function linesOf(recipe: Recipe): { amount: string; name: string }[] {
  return recipe.lines.map(({ amount, unit, name }) => ({ amount: `${Number(amount.toPrecision(3))} ${unit}`, name }));
}
