// How much light a print's tone got, by the steps of a strip beside it in the same picture.
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";

/** A step as it reads in the picture. */
export interface PrintedStep {
  readonly logH: number;
  /** Density above paper and its standard uncertainty. */
  readonly density: number;
  readonly sigma: number;
}

export interface MatchedExposure {
  readonly logH: number;
  /** 95 % half-ranges of logH. */
  readonly lowerLogH: number;
  readonly upperLogH: number;
}

/**
 * Log exposure of a tone between two steps of the strip: straight between them, the steps never falling. The camera
 * cancels as far as it treats both alike.
 * @returns null where the tone is paler or deeper than any step tells
 * Source: common practice, no source (visual matching against a strip, done by measuring both).
 */
export function matchedExposure(
  steps: readonly PrintedStep[],
  tone: { readonly density: number; readonly sigma: number },
): MatchedExposure | null {
  const rising = [...steps].sort((a, b) => a.logH - b.logH);
  const densities = isotonicRegression(
    rising.map(({ density }) => density),
    rising.map(({ sigma }) => 1 / Math.max(sigma, 1e-4) ** 2),
  );
  const at = (density: number): number | null => {
    const after = densities.findIndex((value) => value >= density);
    const before = after - 1;
    const [low, high] = [densities[before], densities[after]];
    const [from, to] = [rising[before]?.logH, rising[after]?.logH];
    if (low === undefined || high === undefined || from === undefined || to === undefined) return null;
    return from + (high > low ? (density - low) / (high - low) : 0.5) * (to - from);
  };
  const logH = at(tone.density);
  if (logH === null) return null;
  const nearest = rising.reduce((best, step) =>
    Math.abs(step.logH - logH) < Math.abs(best.logH - logH) ? step : best,
  );
  const reach = rangeSigmas * Math.hypot(tone.sigma, nearest.sigma);
  const [least, most] = [rising[0]?.logH ?? logH, rising[rising.length - 1]?.logH ?? logH];
  return {
    logH,
    lowerLogH: logH - (at(tone.density - reach) ?? least),
    upperLogH: (at(tone.density + reach) ?? most) - logH,
  };
}
