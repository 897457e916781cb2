/**
 * How prints made alike differ in speed from one to the next: brushing, paper, humidity, washing. Studios differ too:
 * the standard deviation of one print about the mean of all [log10 of exposure] by its median, and the standard
 * deviation of its natural logarithm, so that half of all studios lie between 0.02 and 0.05, and one in forty below
 * 0.01.
 * Source: common practice, no source.
 */
export const usualPrintScatter = { medianLogH: 0.032, logSigma: 0.6 } as const;
