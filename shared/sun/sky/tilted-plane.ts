// How much of the sun's, the sky's and the ground's light falls on a tilted frame. Pure geometry, one factor each,
// so that the same three numbers serve every wavelength.

/** How a frame stands. */
export interface Plane {
  /** 0 lies flat, 90 stands upright, above 90 faces down [°]. */
  readonly tiltDegrees: number;
  /** Where a tilted frame faces: clockwise from true north [°]. */
  readonly facingDegrees: number;
}

/** What a plane takes of each kind of light. */
export interface PlaneFactors {
  /** Of the direct light: cosine of the angle of incidence, 0 when the sun is behind the frame. */
  readonly direct: number;
  /** Of the bright sky round the sun, relative to a level plane. */
  readonly aroundSun: number;
  /** Of the even part of the sky, 0-1. */
  readonly sky: number;
  /** Of the light thrown back by the ground, 0-1. */
  readonly ground: number;
}

const degree = Math.PI / 180;
/** Keeps the division finite near the horizon: cosine of 89°. Source: BirdRiordan1986, as in pvlib. */
const lowestCosine = 0.01745;

/**
 * What a plane takes of the sun's, the sky's and the ground's light.
 * @param sun apparent zenith angle and azimuth [°]
 * @param plane tilt from level and facing, clockwise from true north [°]
 * Source: BirdRiordan1986, eq. 3-18 (sky by Hay and Davies).
 */
export function planeFactors(
  sun: { readonly zenithDegrees: number; readonly azimuthDegrees: number },
  plane: Plane,
): PlaneFactors {
  const zenith = sun.zenithDegrees * degree;
  const tilt = plane.tiltDegrees * degree;
  const mu = Math.cos(zenith);
  const cosIncidence =
    mu * Math.cos(tilt) +
    Math.sin(zenith) * Math.sin(tilt) * Math.cos((sun.azimuthDegrees - plane.facingDegrees) * degree);
  const direct = Math.max(0, cosIncidence);
  return {
    direct,
    aroundSun: direct / Math.max(mu, lowestCosine),
    sky: 0.5 * (1 + Math.cos(tilt)),
    ground: 0.5 * (1 - Math.cos(tilt)),
  };
}

/** Angle between the normals of two frames [°], 0-180: how far one must be turned to lie like the other. */
export function planeAngleDegrees(a: Plane, b: Plane): number {
  const cosine =
    Math.cos(a.tiltDegrees * degree) * Math.cos(b.tiltDegrees * degree) +
    Math.sin(a.tiltDegrees * degree) *
      Math.sin(b.tiltDegrees * degree) *
      Math.cos((a.facingDegrees - b.facingDegrees) * degree);
  return Math.acos(Math.min(1, Math.max(-1, cosine))) / degree;
}
