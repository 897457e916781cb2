/**
 * What stands in for a studio's own scatter between prints after a single one (usual-print-scatter.ts). Larger than the
 * median, since the studio at hand may be one of those that scatter: beside a calibration good to 0.03 it holds 93 of
 * 100 next prints over all such studios, 99 or more where prints scatter by 0.02, 90 where they scatter by 0.05.
 * Source: common practice, no source.
 */
export const usualPrintSigmaLogH = 0.04;

/** Standard uncertainty that the next print adds to a calibration from one: both prints differ from the mean. */
export const nextPrintSigmaLogH = Math.SQRT2 * usualPrintSigmaLogH;
