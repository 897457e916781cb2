import type { Curve } from "#shared/schema/curve.ts";

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
