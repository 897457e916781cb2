// View objects of the shelf with its bottles and recipes, and of one coating as a batch.
import { batchInUse, batchKeepsUntil } from "#shared/coating/batches.ts";
import { coverageOf, volumeMlForArea } from "#shared/coating/coverage.ts";
import { daysBetween, keepingWarnings, stockKeepsDays } from "#shared/coating/keeping.ts";
import { keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import { defaultRecipes, scaledRecipe } from "#shared/coating/recipe.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, writtenFigures } from "#shared/format/number.ts";
import type { Coating } from "#shared/schema/materials.ts";
import type { Recipe, Stock } from "#shared/schema/stocks.ts";
import type { StoreReader } from "#src/store/store.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { isTicked, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { batchOrder, batchRows } from "./batches.ts";
import { procedureRows, recipeRows, stepKinds, typedProcedureRows, typedRecipeRows } from "./coating-form.ts";

/** Volume that recipes are shown for until another is asked for, and the largest that anyone mixes [ml]. */
const usualVolumeMl = 50;
const largestVolumeMl = 100_000;
/** Prints that the coverage is learned from. */
const coveragePrints = 200;

const stockOrder: FieldOrder = ["name", "madeOn", "grade", "lot"].map(
  (name) => [name, `stock-${name === "madeOn" ? "made" : name}`] as const,
);
const coatingOrder: FieldOrder = [
  ["mixedAt", "batch-mixed"],
  ["grade", "batch-grade"],
  ["lot", "batch-lot"],
  ["volumeMl", "batch-volume"],
  "line0Name",
  "step0Name",
];

interface ShelfParts {
  readonly values: FormValues;
  readonly errors: FieldErrors;
  /** Instant, ISO 8601. */
  readonly now: string;
}

export function shelfView(store: StoreReader, { values, errors, now }: ShelfParts) {
  const asked = numberOf(values, "volumeMl");
  const volumeMl = asked !== undefined && asked > 0 && asked <= largestVolumeMl ? asked : usualVolumeMl;
  return {
    volumeMl,
    errors,
    summary: errorSummary(errors, stockOrder),
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
    values: { ...values, madeOn: textOf(values, "madeOn") || now.slice(0, 10) },
  };
}

export interface CoatingParts {
  readonly id: string;
  /** Asked area or volume. */
  readonly query?: FormValues;
  /** What was typed, when something was wrong with it; absent shows the coating as it is kept. */
  readonly values?: FormValues;
  /** What was typed of a new batch. */
  readonly newBatch?: FormValues;
  readonly errors?: FieldErrors;
  readonly now: string;
}

export function coatingView(
  store: StoreReader,
  { id, query = {}, values, newBatch = {}, errors = {}, now }: CoatingParts,
) {
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
    errors,
    summary: errorSummary(errors, [...batchOrder, ...coatingOrder]),
    batches: batchRows(store, coating, now.slice(0, 10)),
    bottles: store.stocks.list().map(({ id, name, madeOn }) => ({ id, name, day: formatDay(madeOn) })),
    warnings: keepingOf(coating, used, now),
    ...batchView(coating, { stocks, used, values, newBatch: { batchMadeOn: now.slice(0, 10), ...newBatch } }),
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

interface BatchParts {
  readonly stocks: readonly Stock[];
  /** Those that the batch was mixed from. */
  readonly used: readonly Stock[];
  readonly values: FormValues | undefined;
  /** What a new batch's form holds. */
  readonly newBatch: FormValues;
}

/** The form of a batch: as it is kept, or as it was typed. */
function batchView(coating: Coating, { stocks, used, values, newBatch }: BatchParts) {
  const isUsed = (stock: Stock): boolean =>
    values === undefined ? used.includes(stock) : isTicked(values, `stock-${stock.id}`);
  const kept = { grade: coating.grade ?? "", lot: coating.lot ?? "", volumeMl: coating.recipe?.volumeMl ?? "" };
  return {
    values: { ...newBatch, ...(values ?? { ...kept, mixedAt: (coating.mixedAt ?? "").slice(0, 10) }) },
    recipeRows: values === undefined ? recipeRows(coating) : typedRecipeRows(values),
    procedureRows: values === undefined ? procedureRows(coating) : typedProcedureRows(values),
    stocks: stocks
      .filter((stock) => !stock.archived || used.includes(stock))
      .map((stock) => ({ id: stock.id, name: stock.name, day: formatDay(stock.madeOn), isUsed: isUsed(stock) })),
  };
}

function ageText(days: number): string {
  if (days < 0) return "made later than today";
  return days < 60 ? `${Math.floor(days)} days old` : `${Math.floor(days / 30.44)} months old`;
}

function linesOf(recipe: Recipe): { amount: string; name: string }[] {
  return recipe.lines.map(({ amount, unit, name }) => ({ amount: `${writtenFigures(amount, 3)} ${unit}`, name }));
}

/** What is said of the solutions' age if the coating is poured now. */
function keepingOf(coating: Coating, stocks: readonly Stock[], now: string): string[] {
  const batch = batchInUse(coating);
  return keepingWarnings({
    usedAt: now,
    mixedAt: batch?.madeOn ?? coating.mixedAt ?? null,
    keepsUntil: batch === null ? null : batchKeepsUntil(batch),
    stocks,
  }).map(keepingWarningWords);
}
