/**
 * How prints made alike differ in speed from one to the next, where a studio's own scatter is not known: standard
 * deviation of one print about the mean of all [log10 of exposure]. Brushing, paper, humidity, washing.
 * Source: common practice, no source.
 */
const usualPrintSigmaLogH = 0.03;

/** Standard uncertainty that the next print adds to a calibration from one: both prints differ from the mean. */
export const nextPrintSigmaLogH = Math.SQRT2 * usualPrintSigmaLogH;
