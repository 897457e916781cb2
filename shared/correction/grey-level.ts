/** Highest grey level of a positive: paper white. Level 0 wants the darkest blue. */
export const topLevel = 255;
