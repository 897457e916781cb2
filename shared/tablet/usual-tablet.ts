// Film tablets as they are usually sold: how far apart the steps of each usual count are.
import type { Tablet } from "#shared/schema/reading.ts";

/** Density from one step to the next by number of steps. Source: common practice, no source. */
const usualIncrements: Readonly<Record<number, number>> = {
  9: 0.3,
  10: 0.3,
  11: 0.3,
  13: 0.2,
  16: 0.2,
  21: 0.15,
  31: 0.1,
  41: 0.05,
};

/**
 * The tablet of another usual count that someone may have meant.
 * @param declared the evenly spaced film tablet that was said; its clearest step and how well it is known stay
 * @param steps the count that the picture looks like
 * @returns null for a count that is not usual, or where something else than an evenly spaced film lay on the print
 * Source: common practice, no source
 */
export function tabletOfOtherCount(declared: Tablet, steps: number): Tablet | null {
  const increment = usualIncrements[steps];
  if (declared.kind !== "transmission" || !("steps" in declared) || increment === undefined) return null;
  return { ...declared, steps, increment };
}
