// Recipes of the sensitizer, scaled to the volume that is needed.
import type { Recipe } from "#shared/schema/stocks.ts";

export interface NamedRecipe {
  readonly key: string;
  readonly name: string;
  /** Where the proportions come from, in the words that are shown. */
  readonly source: string;
  readonly recipe: Recipe;
}

/**
 * Generic handbook proportions to start from, as ready-to-coat sensitizer of equal parts of two stock solutions.
 * Source: process-formulas (25 g and 10 g in 200 ml; 20 % and 8.1 %).
 */
export const defaultRecipes: readonly NamedRecipe[] = [
  {
    key: "classic-strong",
    name: "Classic, strong",
    source:
      "published by a process author as 25 g ammonium iron(III) citrate and 10 g potassium ferricyanide in about " +
      "200 ml all told",
    recipe: {
      volumeMl: 200,
      lines: [
        { name: "ammonium iron(III) citrate, green", amount: 25, unit: "g" },
        { name: "potassium ferricyanide", amount: 10, unit: "g" },
        { name: "water, distilled, to make up", amount: 200, unit: "ml" },
      ],
    },
  },
  {
    key: "classic-common",
    name: "Classic, common strength",
    source: "20 % citrate and 8.1 % ferricyanide in equal volumes, as encyclopaedias give it",
    recipe: {
      volumeMl: 200,
      lines: [
        { name: "ammonium iron(III) citrate, green", amount: 20, unit: "g" },
        { name: "potassium ferricyanide", amount: 8.1, unit: "g" },
        { name: "water, distilled, to make up", amount: 200, unit: "ml" },
      ],
    },
  },
];

/**
 * A recipe for another volume: every amount in proportion.
 * @param recipe amounts for its own volume
 * @param volumeMl wanted volume of sensitizer [ml], above 0
 * @throws RangeError when the volume is not above 0
 * @example scaledRecipe({ volumeMl: 100, lines: [{ name: "a", amount: 10, unit: "g" }] }, 25).lines[0].amount // 2.5
 */
export function scaledRecipe(recipe: Recipe, volumeMl: number): Recipe {
  if (!(volumeMl > 0) || !Number.isFinite(volumeMl))
    throw new RangeError(`A volume of ${volumeMl} ml cannot be mixed.`);
  const factor = volumeMl / recipe.volumeMl;
  return { volumeMl, lines: recipe.lines.map((line) => ({ ...line, amount: line.amount * factor })) };
}
