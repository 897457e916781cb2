// A field of the small picture with a strip drawn into it, tone by tone, in its own coordinates.
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { smoothed, type Field } from "#src/imaging/find/smoothed-field.ts";

type Random = ReturnType<typeof seededRandom>;

interface StripDrawing {
  readonly size: readonly [width: number, height: number];
  readonly corners: Corners;
  readonly seed: number;
  /** Grain at one place. */
  readonly grain: (random: Random) => number;
  readonly smoothings: number;
  /** Tone at u from 0 (dark end) to 1 along the strip and v from 0 to 1 across it; beyond them what surrounds it. */
  readonly toneAt: (u: number, v: number) => number;
}

/** The field that a drawing makes. */
export function stripField({ size: [width, height], corners, seed, grain, smoothings, toneAt }: StripDrawing): Field {
  const toStrip = inverseHomography(homographyFromCorners(corners));
  const random = seededRandom(seed);
  const values = Float32Array.from({ length: width * height }, (_, i) => {
    const [u, v] = mapPoint(toStrip, (i % width) + 0.5, Math.floor(i / width) + 0.5);
    return toneAt(u, v) + grain(random);
  });
  return smoothed({ width, height, values }, smoothings);
}

/** Whether a place lies in the strip. */
export const isInStrip = (u: number, v: number): boolean => u >= 0 && u <= 1 && v >= 0 && v <= 1;

/** Corners of a part of a strip, or of one that goes on beyond it. */
export function partOfStrip(
  corners: Corners,
  [fromU, toU]: readonly [number, number],
  [fromV, toV]: readonly [number, number],
): Corners {
  const toPicture = homographyFromCorners(corners);
  const at = (u: number, v: number): PointPx => mapPoint(toPicture, u, v);
  return [at(fromU, fromV), at(toU, fromV), at(toU, toV), at(fromU, toV)];
}
