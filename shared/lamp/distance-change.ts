// What another distance between lamp and print does to the time.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { diskOnAxis, panelAt, pointAt, tubeBankAt } from "./lamp-geometry.ts";
import { isDaylight } from "./daylight.ts";

/** The shape that a lamp is taken for. */
export type LampShape =
  | { readonly kind: "point" }
  | { readonly kind: "disk"; readonly radiusMm: number }
  | { readonly kind: "panel"; readonly widthMm: number; readonly heightMm: number }
  | { readonly kind: "tubes"; readonly count: number; readonly pitchMm: number; readonly lengthMm: number };

/**
 * No distance is answered for beyond this multiple of the measured ones, or below its inverse.
 * Source: LampGeometry, "no further than twice".
 */
const furthestDistanceRatio = 2;

/**
 * Share of the log change by which reflectors, walls and glass make a real lamp differ from its shape; standard
 * uncertainty, from memory.
 */
export const shapeUncertaintyShare = 0.1;

/**
 * The shape of a lamp from what is known about it.
 * A lamp with a width alone is round. Tubes without their number are taken for an even panel.
 * @returns null when its size is not known, or it is the sky
 */
export function shapeOfLamp(
  lamp: Pick<Lamp, "kind"> & Partial<Pick<Lamp, "widthMm" | "heightMm" | "tubeCount">>,
): LampShape | null {
  if (isDaylight(lamp.kind)) return null;
  if (lamp.kind === "point") return { kind: "point" };
  const { widthMm, heightMm, tubeCount } = lamp;
  if (!widthMm) return null;
  if (!heightMm) return { kind: "disk", radiusMm: widthMm / 2 };
  if (lamp.kind === "tubes" && tubeCount)
    return { kind: "tubes", count: tubeCount, pitchMm: widthMm / tubeCount, lengthMm: heightMm };
  return { kind: "panel", widthMm, heightMm };
}

/**
 * Irradiance in the middle below a lamp, on a scale of its own for each shape: only ratios mean anything.
 * @param distanceMm above 0
 */
export function relativeIrradiance(shape: LampShape, distanceMm: number): number {
  switch (shape.kind) {
    case "point":
      return pointAt(distanceMm);
    case "disk":
      return diskOnAxis(shape.radiusMm, distanceMm);
    case "panel":
      return panelAt({ width: shape.widthMm, height: shape.heightMm, distance: distanceMm });
    case "tubes":
      return tubeBankAt({ count: shape.count, pitch: shape.pitchMm, length: shape.lengthMm, distance: distanceMm });
  }
}

export interface DistanceChange {
  /** Added to log H (log10 of seconds) when the print moves; above 0, longer. */
  readonly shiftLogH: number;
  /** Standard uncertainty of the shift. */
  readonly sigmaLogH: number;
  readonly basis: "shape" | "unknown-shape";
}

/**
 * Change of log10 of the time when a print moves from one distance to another under a lamp.
 * Without a known shape the truth lies between a point (inverse square) and a very wide panel (no change); the middle
 * is given with that whole span as its 95 % range.
 * @param fromMm distance of the test
 * @param toMm distance that the time is for
 * @param measuredMm distances at which this lamp was tested; the answer goes no further than twice beyond them
 * @returns null when `toMm` lies beyond twice the furthest, or below half of the nearest, measured distance
 * Source: LampGeometry; LambertianFactors.
 */
export function distanceChange({
  shape,
  fromMm,
  toMm,
  measuredMm,
}: {
  shape: LampShape | null;
  fromMm: number;
  toMm: number;
  measuredMm: readonly number[];
}): DistanceChange | null {
  const known = [fromMm, ...measuredMm];
  if (toMm > furthestDistanceRatio * Math.max(...known) || toMm < Math.min(...known) / furthestDistanceRatio)
    return null;
  const inverseSquare = 2 * Math.log10(toMm / fromMm);
  if (shape === null)
    return {
      shiftLogH: inverseSquare / 2,
      sigmaLogH: Math.abs(inverseSquare) / 2 / rangeSigmas,
      basis: "unknown-shape",
    };
  const shiftLogH = Math.log10(relativeIrradiance(shape, fromMm) / relativeIrradiance(shape, toMm));
  return { shiftLogH, sigmaLogH: Math.abs(shiftLogH) * shapeUncertaintyShare, basis: "shape" };
}
