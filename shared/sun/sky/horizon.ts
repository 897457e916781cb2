// What stands round a frame and hides part of the sky: houses, walls, trees. Their heights are told at even bearings.
import type { Plane } from "./tilted-plane.ts";

/** Heights above the level [°, 0-90] at even bearings, clockwise from true north; straight between them. */
export type Horizon = readonly number[];

const degree = Math.PI / 180;
/** Bearings and heights that the sky is summed over: the sum is within 0.0005 of the closed forms. */
const bearings = 72;
const bands = 90;

/** Height of the horizon at a bearing [°]. */
export function horizonHeightDegrees(horizon: Horizon, bearingDegrees: number): number {
  const place = ((((bearingDegrees % 360) + 360) % 360) / 360) * horizon.length;
  const before = Math.floor(place) % horizon.length;
  const left = horizon[before] ?? 0;
  const right = horizon[(before + 1) % horizon.length] ?? 0;
  return left + (right - left) * (place - Math.floor(place));
}

/**
 * Whether the middle of the sun stands behind the horizon.
 * @param marginDegrees counts the sun as hidden this far above it already
 */
export function isSunHidden(
  horizon: Horizon,
  sun: { readonly zenithDegrees: number; readonly azimuthDegrees: number },
  marginDegrees = 0,
): boolean {
  return 90 - sun.zenithDegrees < horizonHeightDegrees(horizon, sun.azimuthDegrees) + marginDegrees;
}

/**
 * Share of an even sky's light that a plane still takes, 0-1: the cosine of incidence summed over what is not hidden.
 * @param plane tilt from level and facing, clockwise from true north [°]
 * @returns (1 + cos tilt) / 2 for a free horizon; cos² h for a level plane in a round of height h.
 * Source: the view factor of radiation geometry, integrated by the midpoint rule.
 */
export function visibleSkyShare(plane: Plane, horizon: Horizon): number {
  const tilt = plane.tiltDegrees * degree;
  const [up, side] = [Math.cos(tilt), Math.sin(tilt)];
  let sum = 0;
  for (let i = 0; i < bearings; i += 1) {
    const bearing = ((i + 0.5) * 360) / bearings;
    const towards = side * Math.cos((bearing - plane.facingDegrees) * degree);
    const lowest = Math.max(0, horizonHeightDegrees(horizon, bearing)) * degree;
    const band = (Math.PI / 2 - lowest) / bands;
    for (let j = 0; j < bands; j += 1) {
      const height = lowest + (j + 0.5) * band;
      sum += Math.max(0, up * Math.sin(height) + towards * Math.cos(height)) * Math.cos(height) * band;
    }
  }
  return (sum * ((2 * Math.PI) / bearings)) / Math.PI;
}

/** Share of an even sky's light on a level plane that a horizon takes, 0-1: the mean squared sine of its heights. */
export function lostSkyShare(horizon: Horizon): number {
  return horizon.reduce((sum, height) => sum + Math.sin(height * degree) ** 2, 0) / horizon.length;
}
