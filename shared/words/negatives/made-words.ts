import type { CorrectionTarget } from "#shared/schema/correction.ts";

/** What a negative's curve aimed at. */
export function scaleOfTarget(target: CorrectionTarget): string {
  if (target === "lightness") return "even steps of lightness";
  return target === "density" ? "even steps of density" : "a scale of its own";
}
