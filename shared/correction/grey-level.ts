/** Highest grey level of a positive: paper white. Level 0 wants the darkest blue. */
export const topLevel = 255;

/** Most points that anybody should have to type into an image editor. */
export const maxTypedPoints = 14;
