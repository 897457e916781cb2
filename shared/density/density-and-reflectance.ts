// Density is the trade's scale for how dark a print is: each 0.30 halves the light that comes back.

/** Density below which a reflectance cannot be told from none; keeps logarithms finite. */
const smallestReflectance = 1e-6;

/**
 * Reflection density of a surface.
 * @param reflectance share of light returned, relative to whatever is taken as white (0-1; more than 1 gives a negative
 *   density)
 * @returns density, log10 of 1 / reflectance; at or below 1e-6 the answer stays at 6
 * @example densityFromReflectance(0.1) // 1
 * Source: density-definition
 */
export function densityFromReflectance(reflectance: number): number {
  return -Math.log10(Math.max(reflectance, smallestReflectance));
}

/**
 * Reflectance of a surface of the given density.
 * @param density log10 of 1 / reflectance
 * @returns share of light returned (0-1 for densities of 0 and more)
 * @example reflectanceFromDensity(2) // 0.01
 * Source: density-definition
 */
export function reflectanceFromDensity(density: number): number {
  return 10 ** -density;
}
