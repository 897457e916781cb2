/** A 95 % range of the normal distribution reaches this many standard uncertainties to each side. Source: AbramowitzStegun1964, 26.2. */
export const rangeSigmas = 1.96;
