/**
 * How prints made alike differ in speed from one to the next: brushing, paper, humidity, washing. Studios differ too:
 * the standard deviation of one print about the mean of all [log10 of exposure] by its median, and the standard
 * deviation of its natural logarithm, so that half of all studios lie between 0.015 and 0.045.
 * Source: common practice, no source.
 */
export const usualPrintScatter = { medianLogH: 0.026, logSigma: 0.8 } as const;
