// Long edges that were taken too far in, as where a row of numbers or a shadow runs along the strip: the tones beside
// them go on following those of the steps. Numbers: common practice, no source (rendered scenes).
import { homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { median } from "#shared/statistics/robust.ts";
import { followedShare } from "#src/imaging/find/place-strip.ts";
import { isWithin, valueAt, type Field } from "#src/imaging/find/smoothed-field.ts";

/** It is looked so far out, in heights of what was found, at rows so far apart, and over so wide a gap. */
const furthestOut = 5;
const rowEvery = 0.1;
const widestGap = 0.8;
/** A row belongs to the steps whose tones change by this share of theirs. */
const leastFollowed = 0.5;
/** Places along a step and across what was found at which tones are read: the middle one counts. */
const alongStep = [0.25, 0.375, 0.5, 0.625, 0.75];
const acrossFound = [0.3, 0.5, 0.7];

/**
 * Corners moved out to where the tones beside no longer follow those of the steps.
 * @param corners small pixels, the dark end first
 * @returns null where they do not follow on either side
 */
export function widenedOverSteps(field: Field, corners: Corners, steps: number): Corners | null {
  const toPicture = homographyFromCorners(corners);
  const tonesAt = (k: number, v: number): number[] =>
    alongStep
      .map((share) => mapPoint(toPicture, (k + share) / steps, v))
      .flatMap(([x, y]) => (isWithin(field, x, y) ? [valueAt(field, x, y)] : []));
  const inside = Array.from({ length: steps }, (_, k) => {
    const tones = acrossFound.flatMap((v) => tonesAt(k, v));
    return tones.length === 0 ? null : median(tones);
  });
  const isFollowed = (v: number): boolean => {
    const pairs = inside.flatMap((tone, k) => {
      if (tone === null) return [];
      const beside = tonesAt(k, v);
      return beside.length === 0 ? [] : [[tone, median(beside)] as const];
    });
    return pairs.length > steps / 2 && followedShare(pairs) > leastFollowed;
  };
  const outBy = (vOf: (out: number) => number): number => {
    let last = 0;
    for (let out = rowEvery / 2; out < Math.min(furthestOut, last + widestGap); out += rowEvery)
      if (isFollowed(vOf(out))) last = out + rowEvery / 2;
    return last;
  };
  const [above, below] = [outBy((out) => -out), outBy((out) => 1 + out)];
  if (above === 0 && below === 0) return null;
  const at = (u: number, v: number): PointPx => mapPoint(toPicture, u, v);
  return [at(0, -above), at(1, -above), at(1, 1 + below), at(0, 1 + below)];
}
