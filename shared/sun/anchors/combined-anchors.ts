import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Anchor } from "./anchor.ts";
import { modelRange, type ModelRange, type SunSituation } from "#shared/sun/sky/model-range.ts";

/** What several anchors say together about one coming exposure. */
export interface WantedDose {
  /** Likely dose [action-weighted J/m²]. */
  readonly dose: number;
  /** 95 % half-ranges of ln dose. */
  readonly lowerLn: number;
  readonly upperLn: number;
  /** Standard deviation of ln dose over the anchors; null with fewer than two. */
  readonly spreadLn: number | null;
  /** The model's range from the nearest anchor. */
  readonly model: ModelRange;
}

const leastOwnLn = 0.01; // keeps an anchor of no stated range from outweighing all others

/**
 * Wanted dose from anchors: weighted mean of ln dose, widened when the anchors disagree by more than their ranges
 * (ratio of Birge).
 * @param anchors one or more, of one combination and one kind of light
 * @param exposure the coming one
 * @throws RangeError without anchors.
 * Source: SunAnchor; Birge1932 from memory.
 */
export function combinedAnchors(anchors: readonly Anchor[], exposure: SunSituation): WantedDose {
  if (anchors.length === 0) throw new RangeError("no anchors to combine");
  const each = anchors.map((anchor) => {
    const own = Math.max(leastOwnLn, (anchor.lowerLn + anchor.upperLn) / 2);
    const model = modelRange(anchor, exposure);
    return { anchor, own, model, lnDose: Math.log(anchor.dose), weight: 1 / (own ** 2 + model.share ** 2) };
  });
  const weights = each.reduce((sum, one) => sum + one.weight, 0);
  const lnDose = each.reduce((sum, one) => sum + one.weight * one.lnDose, 0) / weights;
  const nearest = each.reduce((best, one) => (one.model.share < best.model.share ? one : best));
  const n = each.length;
  const misfit =
    n < 2
      ? 0
      : each.reduce((sum, one) => sum + one.weight * rangeSigmas ** 2 * (one.lnDose - lnDose) ** 2, 0) / (n - 1);
  const widening = Math.sqrt(Math.max(1, misfit));
  const shrink = n < 2 ? 1 : Math.sqrt(1 / each.reduce((sum, one) => sum + (nearest.own / one.own) ** 2, 0));
  const mean = each.reduce((sum, one) => sum + one.lnDose, 0) / n;
  return {
    dose: Math.exp(lnDose),
    lowerLn: widening * Math.hypot((n < 2 ? nearest.anchor.lowerLn : nearest.own) * shrink, nearest.model.share),
    upperLn: widening * Math.hypot((n < 2 ? nearest.anchor.upperLn : nearest.own) * shrink, nearest.model.share),
    spreadLn: n < 2 ? null : Math.sqrt(each.reduce((sum, one) => sum + (one.lnDose - mean) ** 2, 0) / (n - 1)),
    model: nearest.model,
  };
}
