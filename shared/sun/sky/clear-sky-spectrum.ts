// The simple clear-sky spectrum of Bird and Riordan, 300 to 500 nm: what reaches the ground straight from the sun and
// from the blue of the sky. What depends on the air alone is worked out once by `clearAir`; each sun height then
// costs five exponentials a wavelength.
import { modelPressurePa, ozoneAirMass, relativeAirMass } from "./atmosphere.ts";
import { clearSkyCoefficients } from "./clear-sky-coefficients.ts";

/** The air and the ground that the light passes and meets. */
export interface AirConditions {
  /** Air pressure at the place [Pa]. */
  readonly pressurePa: number;
  /** Ozone column [atm-cm]; 0.300 is 300 Dobson units. */
  readonly ozoneAtmCm: number;
  /** Haze: aerosol optical depth at 500 nm; 0.1 is ordinary clear air. */
  readonly haze: number;
  /** Share of ultraviolet light that the ground throws back, 0-1. */
  readonly groundShare: number;
}

/** What one kind of air does at each wavelength, worked out once. Arrays follow `wavelengthsNm`. */
export interface ClearAir {
  readonly conditions: AirConditions;
  readonly rayleighDepth: Float64Array;
  readonly hazeDepth: Float64Array;
  readonly hazeScatteringDepth: Float64Array;
  /** What the sky throws back down of the light that comes up from the ground, share 0-1. */
  readonly skyReflectance: Float64Array;
}

/** Clear-sky light at each wavelength. */
export interface ClearSkySpectrum {
  /** On a plane facing the sun, without the sky [W/m²/nm]. */
  readonly direct: Float64Array;
  /** From the sky on a level plane [W/m²/nm]. */
  readonly sky: Float64Array;
  /**
   * Share of the sun's light above the air that comes through unscattered, 0-1; it weighs the bright sky round the sun.
   */
  readonly clearness: Float64Array;
}

const degree = Math.PI / 180;
const angstromExponent = 1.14; // wavelength dependence of haze; BirdRiordan1986, rural aerosol
const singleScatteringAt400 = 0.945; // share of haze extinction that is scattering at 400 nm; same
const scatteringVariation = 0.095; // same
const asymmetry = 0.65; // forward preference of haze; same
const meanAirMass = 1.8; // effective path of diffuse light; same

const forwardA = Math.log(1 - asymmetry);
const forwardF = forwardA * (1.459 + forwardA * (0.1595 + 0.4129 * forwardA));
const forwardB = forwardA * (0.0783 + forwardA * (-0.3824 - 0.5874 * forwardA));

/** Wavelengths of every spectrum of this model [nm]: 5 nm apart to 350, then 10. */
export const wavelengthsNm: Float64Array = Float64Array.from(clearSkyCoefficients, (row) => row.wavelengthNm);
const extraterrestrial = Float64Array.from(clearSkyCoefficients, (row) => row.extraterrestrial);
const ozoneAbsorption = Float64Array.from(clearSkyCoefficients, (row) => row.ozone);
/** Correction of the sky's light below 450 nm. */
const skyCorrection = wavelengthsNm.map((nm) => (nm <= 450 ? (nm / 1000 + 0.55) ** 1.8 : 1));
const forwardShareMean = 1 - 0.5 * Math.exp((forwardF + forwardB / meanAirMass) / meanAirMass);

/**
 * What a kind of air does at each wavelength.
 * @param conditions pressure [Pa], ozone [atm-cm], haze (optical depth at 500 nm), ground (share 0-1)
 * Source: BirdRiordan1986, with the constants of NREL's program of 1990.
 */
export function clearAir(conditions: AirConditions): ClearAir {
  const pressureShare = conditions.pressurePa / modelPressurePa;
  const rayleighDepth = wavelengthsNm.map((nm) => {
    const squared = (nm / 1000) ** 2;
    return 1 / (squared * squared * (115.6406 - 1.3366 / squared));
  });
  const hazeDepth = wavelengthsNm.map((nm) => conditions.haze * (nm / 500) ** -angstromExponent);
  const hazeScatteringDepth = hazeDepth.map(
    (depth, i) =>
      depth * singleScatteringAt400 * Math.exp(-scatteringVariation * Math.log((wavelengthsNm[i] ?? 400) / 400) ** 2),
  );
  const skyReflectance = rayleighDepth.map((rayleigh, i) => {
    const haze = hazeDepth[i] ?? 0;
    const scattering = hazeScatteringDepth[i] ?? 0;
    const Tr = Math.exp(-meanAirMass * pressureShare * rayleigh);
    const Tas = Math.exp(-scattering * meanAirMass);
    const Taa = Math.exp(-(haze - scattering) * meanAirMass);
    return Taa * (0.5 * (1 - Tr) + (1 - forwardShareMean) * Tr * (1 - Tas));
  });
  return { conditions, rayleighDepth, hazeDepth, hazeScatteringDepth, skyReflectance };
}

/**
 * Light of the sun and of the sky under a clear sky.
 * @param air from `clearAir`
 * @param zenithDegrees apparent zenith angle of the sun [°]
 * @param distanceFactor from `earthSunFactor`
 * @returns all 0 when the sun is at or below the horizon.
 * Valid: 300 to 500 nm, sun height above 10°, flat open horizon; below 315 nm too low by 10 to 90 %.
 * Source: BirdRiordan1986, eq. 2-1 to 3-17, with the constants of NREL's program of 1990; sky reflectance with the
 *   pressure-scaled path of pvlib.
 */
export function clearSkySpectrum(air: ClearAir, zenithDegrees: number, distanceFactor: number): ClearSkySpectrum {
  const n = wavelengthsNm.length;
  const direct = new Float64Array(n);
  const sky = new Float64Array(n);
  const clearness = new Float64Array(n);
  const mu = Math.cos(zenithDegrees * degree);
  if (mu <= 1e-9) return { direct, sky, clearness };
  const m = relativeAirMass(zenithDegrees);
  const pressured = (m * air.conditions.pressurePa) / modelPressurePa;
  const ozonePath = ozoneAirMass(zenithDegrees) * air.conditions.ozoneAtmCm;
  const forwardShare = 1 - 0.5 * Math.exp((forwardF + forwardB * mu) * mu);
  const ground = air.conditions.groundShare;
  for (let i = 0; i < n; i += 1) {
    const rayleigh = (air.rayleighDepth[i] ?? 0) * pressured;
    const haze = air.hazeDepth[i] ?? 0;
    const scattering = air.hazeScatteringDepth[i] ?? 0;
    const Tr = Math.exp(-rayleigh);
    const absorption = ozoneAbsorption[i] ?? 0;
    const To = absorption === 0 ? 1 : Math.exp(-absorption * ozonePath);
    const Tas = Math.exp(-scattering * m);
    const Taa = Math.exp(-(haze - scattering) * m);
    const above = (extraterrestrial[i] ?? 0) * distanceFactor;
    const through = Tr * Tas * Taa * To;
    const Id = above * through;
    const c = above * mu * To * Taa;
    const rayleighSky = 0.5 * c * (1 - Math.exp(-0.95 * rayleigh));
    const hazeSky = c * Tr * Math.sqrt(Tr) * (1 - Tas) * forwardShare;
    const back = (air.skyReflectance[i] ?? 0) * ground;
    const bounced = ((Id * mu + rayleighSky + hazeSky) * back) / (1 - back);
    direct[i] = Id;
    sky[i] = (rayleighSky + hazeSky + bounced) * (skyCorrection[i] ?? 1);
    clearness[i] = through;
  }
  return { direct, sky, clearness };
}
