import type { Curve, ShareSigma } from "#shared/schema/curve.ts";

/**
 * Standard uncertainty of the log exposure at a share of net D-max.
 * @param share 0.5 to 0.99
 * @returns log10 of exposure; null where it is not known
 */
export function sigmaLogHAtShare({ shareSigmas }: Pick<Curve, "shareSigmas">, share: number): number | null {
  const above = shareSigmas.findIndex((entry) => entry.share >= share);
  if (above < 0) return null;
  const high = shareSigmas[above]!;
  const low = shareSigmas[above - 1];
  if (low === undefined || high.share === share) return high.sigmaLogH;
  if (low.sigmaLogH === null || high.sigmaLogH === null) return null;
  const t = (share - low.share) / (high.share - low.share);
  return low.sigmaLogH * (1 - t) + high.sigmaLogH * t;
}

/**
 * What the uncertainty of the log exposure at a share is made of.
 * @param share 0.5 to 0.99
 * @returns variances [log10 squared], summing to the square of the standard uncertainty; empty where they are not known
 */
export function shareVariances(
  { shareSigmas }: Pick<Curve, "shareSigmas">,
  share: number,
): NonNullable<ShareSigma["variances"]> {
  const sigma = sigmaLogHAtShare({ shareSigmas }, share);
  const nearest = shareSigmas.reduce((a, b) => (Math.abs(b.share - share) < Math.abs(a.share - share) ? b : a));
  if (sigma === null || nearest.sigmaLogH === null || nearest.variances === undefined) return [];
  const scale = (sigma / nearest.sigmaLogH) ** 2;
  return nearest.variances.map((part) => ({ ...part, variance: part.variance * scale }));
}
