// The few facts about air and orbit that the clear-sky model needs.

/** Pressure that the model's Rayleigh term is relative to [Pa]. Source: BirdRiordan1986. */
export const modelPressurePa = 101_300;
const degree = Math.PI / 180;
const millisecondsPerDay = 86_400_000;

/**
 * Air pressure at a height.
 * @param elevationM height above sea level [m], -430 to 9000
 * @returns pressure [Pa]
 * Source: StandardAtmosphere (troposphere formula).
 */
export function pressureAtElevation(elevationM: number): number {
  return 101_325 * (1 - 2.25577e-5 * elevationM) ** 5.25588;
}

/**
 * Height over which haze thins to 1/e [m]: it lies in the lowest kilometres. From memory, common in models of the air.
 */
const hazeScaleM = 2000;

/**
 * Haze above a height, of the haze at sea level: it thins by 1/e every two kilometres.
 * @param hazeAtSeaLevel aerosol optical depth at 500 nm
 * @param elevationM height above sea level [m]; below it as at sea level
 * Source: from memory.
 */
export function hazeAtElevation(hazeAtSeaLevel: number, elevationM: number): number {
  return hazeAtSeaLevel * Math.exp(-Math.max(0, elevationM) / hazeScaleM);
}

/**
 * Path through the air relative to the vertical one.
 * @param zenithDegrees apparent (refracted) zenith angle [°], 0 to 95
 * @returns 1 at the zenith, about 38 at the horizon
 * Source: KastenYoung1989.
 */
export function relativeAirMass(zenithDegrees: number): number {
  return 1 / (Math.cos(zenithDegrees * degree) + 0.50572 * (96.07995 - zenithDegrees) ** -1.6364);
}

/**
 * Path through the ozone layer relative to the vertical one.
 * @param zenithDegrees apparent zenith angle [°]
 * Source: BirdRiordan1986.
 */
export function ozoneAirMass(zenithDegrees: number): number {
  const mu = Math.cos(zenithDegrees * degree);
  const layer = 22 / 6370; // height of the ozone over the radius of the earth, both km; BirdRiordan1986
  return (1 + layer) / Math.sqrt(mu * mu + 2 * layer);
}

/**
 * Sunlight above the air relative to that at the mean distance of the sun.
 * @param dayOfYear 1 on the first of January; fractions of a day allowed
 * @returns 0.966 in July to 1.035 in January
 * Source: Spencer1971.
 */
export function earthSunFactor(dayOfYear: number): number {
  const g = (2 * Math.PI * (dayOfYear - 1)) / 365;
  return (
    1.00011 + 0.034221 * Math.cos(g) + 0.00128 * Math.sin(g) + 0.000719 * Math.cos(2 * g) + 0.000077 * Math.sin(2 * g)
  );
}

/**
 * Day of the year of an instant, in UTC and with its fraction: 1 is midnight of the first of January.
 * @param atMs milliseconds of UTC since 1970-01-01
 */
export function dayOfYear(atMs: number): number {
  return 1 + (atMs - Date.UTC(new Date(atMs).getUTCFullYear(), 0, 1)) / millisecondsPerDay;
}
