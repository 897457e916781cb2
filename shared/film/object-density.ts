// Photograms of half-transparent things, such as lace or leaves: how much light the thing holds back, from its own
// image.
import { stopsFromLogH } from "#shared/units/stops.ts";
import { logHAtDensity } from "#shared/curve/curve-at.ts";
import type { Curve } from "#shared/schema/curve.ts";

export interface ObjectDensity {
  /** What the thing holds back under this light: log10 of the loss. */
  readonly density: number;
  /** The same in stops. */
  readonly stops: number;
  /**
   * Time at which its image reaches the middle tone, 0.60 above D-min, and the shoulder [s]; null where the curve does
   * not reach.
   */
  readonly midSeconds: number | null;
  readonly shoulderSeconds: number | null;
}

export interface ObjectDensityInput {
  /** Curve of a tablet test of the same coating and support under the same light. */
  readonly curve: Curve;
  /** Time that the thing and its coating were exposed [s], above 0. */
  readonly exposureSeconds: number;
  /** Density above paper of the print under the thing, in the curve's channel. */
  readonly printDensity: number;
  /** Density of the film that lay over the tablet in the curve's test and not over the thing; 0 when absent. */
  readonly filmDensity?: number;
}

/**
 * Density of an object by the blue of its photogram.
 * @returns null when the print under it is as pale as paper or as deep as the curve goes: then any density would do
 * Source: common practice, no source (the print is read through its own characteristic curve, ISO 6846-style)
 */
export function objectDensity({
  curve,
  exposureSeconds,
  printDensity,
  filmDensity = 0,
}: ObjectDensityInput): ObjectDensity | null {
  const { toe, mid, shoulder } = curve.points;
  if (toe === null || printDensity <= toe.density || (shoulder !== null && printDensity >= shoulder.density))
    return null;
  const logH = logHAtDensity(curve, printDensity);
  if (logH === null) return null;
  // The curve's axis does not count a film that lay over its tablet, so the coating got less than the axis says.
  const heldBack = Math.log10(exposureSeconds) - logH;
  const density = heldBack + filmDensity;
  const secondsTo = (point: { readonly logH: number } | null): number | null =>
    point === null ? null : 10 ** (point.logH + heldBack);
  return { density, stops: stopsFromLogH(density), midSeconds: secondsTo(mid), shoulderSeconds: secondsTo(shoulder) };
}
