// Where the sun stands, by the short series of Meeus: the sun's apparent longitude to about 0.01 degree, turned into
// height and azimuth for one place and instant. Instants are milliseconds of UTC since 1970, so no calendar slips in.

/** A point on the ground. Latitude north positive, longitude east positive [°]. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Direction of the sun as seen from the surface. */
export interface SunDirection {
  /** Angle from the vertical with refraction, as the eye and the frame see it [°]. */
  readonly zenithDegrees: number;
  /** Angle from the vertical without refraction [°]. */
  readonly airlessZenithDegrees: number;
  /** Clockwise from true north [°], 0 up to 360. */
  readonly azimuthDegrees: number;
}

const degree = Math.PI / 180;
const millisecondsPerDay = 86_400_000;
const julianDayOf1970 = 2_440_587.5; // by the definition of the Julian day
const julianDayOf2000 = 2_451_545; // epoch J2000.0
/**
 * Terrestrial time minus universal time [s]; 64 in 2000 and 69 in 2026, and 5 s move the sun by 0.0001°.
 * Source: SolarPositionCheck.
 */
const deltaTSeconds = 69;
/** Sun's horizontal parallax [°]: 8.794 arcseconds. Source: Meeus1998, ch. 40. */
const horizontalParallaxDegrees = 8.794 / 3600;
/** Below this height the upper edge of the sun, lifted by refraction, is under the horizon. Source: RedaAndreas2004. */
const lowestRefractedDegrees = -(0.26667 + 0.5667);
const standardPressurePa = 101_325;
const standardTemperatureC = 15;

/**
 * Lift of the sun by the air's refraction [°].
 * @param airlessHeightDegrees height above the horizon without refraction [°]
 * @param air pressure at the place [Pa] and temperature [°C]
 * @returns 0 when the sun is well below the horizon.
 * Source: RedaAndreas2004, eq. for the atmospheric refraction correction.
 */
export function refractionDegrees(
  airlessHeightDegrees: number,
  air: { readonly pressurePa: number; readonly temperatureC: number },
): number {
  if (airlessHeightDegrees < lowestRefractedDegrees) return 0;
  const h = airlessHeightDegrees;
  return (
    (air.pressurePa / 101_000) *
    (283 / (273 + air.temperatureC)) *
    (1.02 / (60 * Math.tan((h + 10.3 / (h + 5.11)) * degree)))
  );
}

/**
 * Direction of the sun for a place and an instant.
 * @param place latitude north positive, longitude east positive [°]
 * @param atMs instant, milliseconds of UTC since 1970-01-01
 * @param air for the refraction only: pressure [Pa] and temperature [°C]; sea level and 15 °C when absent
 * @returns zenith angle 0 to 180°, above 90 when the sun is down; azimuth clockwise from true north.
 * Valid: years 1950 to 2100, within 0.01° on the sky.
 * Source: Meeus1998, ch. 12, 13, 22, 25 and 40.
 */
export function sunDirection(
  place: Place,
  atMs: number,
  air: { readonly pressurePa?: number; readonly temperatureC?: number } = {},
): SunDirection {
  const days = atMs / millisecondsPerDay + julianDayOf1970 - julianDayOf2000;
  const T = (days + deltaTSeconds / 86_400) / 36_525; // Julian centuries
  const meanLongitude = 280.46646 + T * (36_000.76983 + 0.0003032 * T);
  const M = (357.52911 + T * (35_999.05029 - 0.0001537 * T)) * degree; // mean anomaly
  const centre =
    (1.914602 - T * (0.004817 + 0.000014 * T)) * Math.sin(M) +
    (0.019993 - 0.000101 * T) * Math.sin(2 * M) +
    0.000289 * Math.sin(3 * M);
  const node = (125.04 - 1934.136 * T) * degree; // ascending node of the moon, for nutation
  const nutation = -0.00478 * Math.sin(node);
  const longitude = (meanLongitude + centre - 0.00569 + nutation) * degree; // apparent
  const obliquity = (23.439291 - 0.0130042 * T + 0.00256 * Math.cos(node)) * degree;

  const rightAscension = Math.atan2(Math.cos(obliquity) * Math.sin(longitude), Math.cos(longitude));
  const sinDeclination = Math.sin(obliquity) * Math.sin(longitude);
  const cosDeclination = Math.sqrt(1 - sinDeclination * sinDeclination);
  const siderealDegrees = 280.46061837 + 360.98564736629 * days + nutation * Math.cos(obliquity);
  const hourAngle = (siderealDegrees + place.longitude) * degree - rightAscension;

  const sinLatitude = Math.sin(place.latitude * degree);
  const cosLatitude = Math.cos(place.latitude * degree);
  // Unit vector to the sun: east, north, up.
  const east = -cosDeclination * Math.sin(hourAngle);
  const north = sinDeclination * cosLatitude - cosDeclination * sinLatitude * Math.cos(hourAngle);
  const up = sinDeclination * sinLatitude + cosDeclination * cosLatitude * Math.cos(hourAngle);
  const level = Math.hypot(east, north);
  // atan2 rather than asin keeps the digits when the sun is near the zenith.
  const heightDegrees = Math.atan2(up, level) / degree - horizontalParallaxDegrees * level;
  const lift = refractionDegrees(heightDegrees, {
    pressurePa: air.pressurePa ?? standardPressurePa,
    temperatureC: air.temperatureC ?? standardTemperatureC,
  });
  const azimuth = Math.atan2(east, north) / degree;
  return {
    zenithDegrees: 90 - heightDegrees - lift,
    airlessZenithDegrees: 90 - heightDegrees,
    azimuthDegrees: azimuth < 0 ? azimuth + 360 : azimuth,
  };
}
