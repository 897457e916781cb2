// The one number that prints: sunlight weighted by what the coating answers to. The spectrum is linear between the
// model's wavelengths, so the weighted integral is a fixed weight for each wavelength, worked out once.
import { actionSpectrum } from "./action-spectrum.ts";
import { dayOfYear, earthSunFactor, hazeAtElevation, pressureAtElevation } from "./atmosphere.ts";
import { clearAir, clearSkySpectrum, wavelengthsNm, type ClearAir } from "./clear-sky-spectrum.ts";
import { sunDirection, type Place, type SunDirection } from "./sun-position.ts";
import { isSunHidden, lostSkyShare, visibleSkyShare, type Horizon } from "./horizon.ts";
import { planeFactors, type Plane } from "./tilted-plane.ts";

/** Which part of the light reaches the frame: sun and sky, or the sky alone (open shade). */
type SunLight = "open-sun" | "open-shade";

/** Everything about place, air, ground and frame that the strength depends on, besides the time. */
export interface SunScene {
  readonly place: Place;
  /** Height above sea level [m]. */
  readonly elevationM: number;
  readonly plane: Plane;
  /** Aerosol optical depth at 500 nm as it is at sea level; it thins with height. */
  readonly haze: number;
  /** Share of ultraviolet light that the ground throws back, 0-1. */
  readonly groundShare: number;
  /** Whether ordinary window glass lies over the print. */
  readonly glass: boolean;
  readonly light: SunLight;
  /** What stands round the frame and hides sky and sun; a free horizon when absent. */
  readonly horizon?: Horizon | undefined;
}

/** A scene made ready for many instants. */
export interface ReadyScene {
  readonly scene: SunScene;
  readonly air: ClearAir;
  readonly weights: Float64Array;
  readonly pressurePa: number;
  /** Shares of an even sky that the horizon leaves to the frame and to level ground; null with a free horizon. */
  readonly seen: { readonly frame: number; readonly ground: number } | null;
}

/** Ozone column [atm-cm]; 0.25 to 0.40 changes the result by about 1 %. Source: SunJudgement (judgement). */
const ozoneAtmCm = 0.3;

/**
 * Linear interpolation weights of `nm` between the model's wavelengths: index of the left one and share of the right
 * one.
 */
function placeBetween(nm: number): { left: number; rightShare: number } {
  let left = 0;
  while (left < wavelengthsNm.length - 2 && (wavelengthsNm[left + 1] ?? Infinity) <= nm) left += 1;
  const from = wavelengthsNm[left] ?? nm;
  const to = wavelengthsNm[left + 1] ?? nm + 1;
  return { left, rightShare: Math.min(1, Math.max(0, (nm - from) / (to - from))) };
}

/**
 * Weights w such that the sum of w × spectral irradiance is the trapezoid integral over the action spectrum's 5 nm
 * grid.
 */
function bandWeights(effect: (row: (typeof actionSpectrum)[number]) => number): Float64Array {
  const weights = new Float64Array(wavelengthsNm.length);
  actionSpectrum.forEach((row, i) => {
    const before = actionSpectrum[i - 1]?.wavelengthNm ?? row.wavelengthNm;
    const after = actionSpectrum[i + 1]?.wavelengthNm ?? row.wavelengthNm;
    const weight = (effect(row) * (after - before)) / 2;
    const { left, rightShare } = placeBetween(row.wavelengthNm);
    weights[left] = (weights[left] ?? 0) + weight * (1 - rightShare);
    weights[left + 1] = (weights[left + 1] ?? 0) + weight * rightShare;
  });
  return weights;
}

/** Weight of each wavelength of the model [nm] for a bare coating. */
export const bareWeightsNm: Float64Array = bandWeights((row) => row.perEnergy);
/** Weight of each wavelength of the model [nm] for a coating behind ordinary window glass. */
const glazedWeightsNm: Float64Array = bandWeights((row) => row.perEnergy * row.glass);

/** Makes a scene ready for many instants. */
export function readyScene(scene: SunScene): ReadyScene {
  const pressurePa = pressureAtElevation(scene.elevationM);
  return {
    scene,
    pressurePa,
    air: clearAir({
      pressurePa,
      ozoneAtmCm,
      haze: hazeAtElevation(scene.haze, scene.elevationM),
      groundShare: scene.groundShare,
    }),
    weights: scene.glass ? glazedWeightsNm : bareWeightsNm,
    seen: scene.horizon
      ? { frame: visibleSkyShare(scene.plane, scene.horizon), ground: 1 - lostSkyShare(scene.horizon) }
      : null,
  };
}

/** Direction of the sun in a scene, refracted by the air there. */
export function sunInScene(ready: ReadyScene, atMs: number): SunDirection {
  return sunDirection(ready.scene.place, atMs, { pressurePa: ready.pressurePa });
}

/**
 * Printing strength for a known direction of the sun: clear-sky irradiance on the frame, weighted by the action
 * spectrum.
 * @param ready from `readyScene`
 * @param sun apparent zenith angle and azimuth [°]
 * @param distanceFactor from `earthSunFactor`
 * @returns action-weighted irradiance [W/m²]; 0 when the sun is at or below the horizon.
 * Valid: as `clearSkySpectrum`. Only ratios of it are fit to be shown as times.
 * What a horizon hides throws nothing back here: walls give some light that is not counted.
 * Source: BirdRiordan1986 and ActionSpectrumModel.
 */
export function strengthUnderSun(
  ready: ReadyScene,
  sun: { readonly zenithDegrees: number; readonly azimuthDegrees: number },
  distanceFactor: number,
): number {
  if (sun.zenithDegrees >= 90) return 0;
  const { direct, sky, clearness } = clearSkySpectrum(ready.air, sun.zenithDegrees, distanceFactor);
  const mu = Math.cos((sun.zenithDegrees * Math.PI) / 180);
  const factors = planeFactors(sun, ready.scene.plane);
  const { horizon, light } = ready.scene;
  const isHidden = horizon !== undefined && isSunHidden(horizon, sun);
  // In open shade the sun and the bright sky round it are hidden; the ground there is in the shade too.
  const inShade = light === "open-shade";
  const sunShare = inShade || isHidden ? 0 : 1;
  const skyShare = ready.seen?.frame ?? factors.sky;
  const groundTakes = inShade ? 0 : ready.scene.groundShare * factors.ground;
  const groundSees = ready.seen?.ground ?? 1;
  let total = 0;
  for (let i = 0; i < direct.length; i += 1) {
    const Id = direct[i] ?? 0;
    const Is = sky[i] ?? 0;
    const k = clearness[i] ?? 0;
    const fromSun = sunShare * (Id * factors.direct + Is * k * factors.aroundSun);
    const fromGround = groundTakes * (sunShare * Id * mu + Is * groundSees);
    const value = fromSun + Is * (1 - k) * skyShare + fromGround;
    total += (ready.weights[i] ?? 0) * value;
  }
  return total;
}

/**
 * Printing strength in a scene at an instant.
 * @param atMs milliseconds of UTC since 1970-01-01
 * @returns action-weighted irradiance [W/m²]; 0 when the sun is down.
 * Source: BirdRiordan1986 and ActionSpectrumModel.
 */
export function printingStrength(ready: ReadyScene, atMs: number): number {
  return strengthUnderSun(ready, sunInScene(ready, atMs), earthSunFactor(dayOfYear(atMs)));
}
