import type { Place } from "#shared/sun/sky/sun-position.ts";

const degree = Math.PI / 180;
/**
 * Mean radius of the earth [km].
 * Source: from memory (6371.0088 by the definition of the geodetic reference system of 1980).
 */
const earthRadiusKm = 6371;

/**
 * Shortest way over the ground between two places on a round earth [km].
 * Valid: within half a percent, since the earth is a little flat.
 * Source: from memory (haversine formula).
 */
export function greatCircleKm(a: Place, b: Place): number {
  const northSine = Math.sin(((b.latitude - a.latitude) * degree) / 2);
  const eastSine = Math.sin(((b.longitude - a.longitude) * degree) / 2);
  const square =
    northSine * northSine + Math.cos(a.latitude * degree) * Math.cos(b.latitude * degree) * eastSine * eastSine;
  return 2 * earthRadiusKm * Math.asin(Math.min(1, Math.sqrt(square)));
}
