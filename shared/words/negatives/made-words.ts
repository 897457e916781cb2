import { isToned } from "#shared/correction/target-text.ts";
import type { CorrectionTarget } from "#shared/schema/correction.ts";

/** What a negative's curve aimed at. */
export function scaleOfTarget(target: CorrectionTarget): string {
  if (target === "lightness") return "even steps of lightness";
  if (target === "density") return "even steps of density";
  return isToned(target) ? "even steps of lightness once it is toned or bleached" : "a scale of its own";
}
