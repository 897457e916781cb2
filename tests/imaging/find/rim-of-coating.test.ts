// Coating that ends a little beyond the pale end, as a torn brush edge does: its rim is no wider than a line.
import { describe, expect, it } from "vitest";
import { inverseHomography, homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { refinedStrip } from "#src/imaging/find/refined/refine-strip.ts";
import { smoothed, type Field } from "#src/imaging/find/smoothed-field.ts";

const steps = 7;
const corners: Corners = [
  [160, 70],
  [580, 96],
  [574, 172],
  [156, 150],
];
/** Blueness (log10) of invented steps: the first two are as dark as the coating. */
const tones = [1.2, 1.2, 1.08, 0.8, 0.52, 0.3, 0.16];
/** The coating reaches beyond either end by so many steps. */
const rimSteps = 0.28;

/** @param rimShare share of the height over which there is coating beyond the pale end */
function torn(rimShare: number): Field {
  const [width, height] = [760, 260];
  const toStrip = inverseHomography(homographyFromCorners(corners));
  const random = seededRandom(7);
  const values = Float32Array.from({ length: width * height }, (_, i) => {
    const [u, v] = mapPoint(toStrip, (i % width) + 0.5, Math.floor(i / width) + 0.5);
    const noise = 0.004 * (random.uniform() - 0.5);
    if (u >= 0 && u <= 1 && v >= 0 && v <= 1) return tones[Math.min(steps - 1, Math.floor(u * steps))]! + noise;
    const rim = (rimSteps + 0.04 * Math.sin(9 * v)) / steps;
    const isBeside = Math.max(-v, v - 1) < 0.3 + 0.1 * Math.sin(31 * u);
    const isBeyond = u < 0 ? u > -rim : u < 1 + (v < rimShare ? rim : 0);
    return (isBeside && isBeyond ? 1.2 : 0) + noise;
  });
  return smoothed({ width, height, values }, 1);
}

/** Corners moved along the strip by so many of its steps. */
const moved = (by: number): Corners => {
  const toPicture = homographyFromCorners(corners);
  const at = (u: number, v: number): PointPx => mapPoint(toPicture, u + by / steps, v);
  return [at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
};

const misplacedSteps = (found: Corners): number =>
  (steps * Math.max(...found.map(([x, y], i) => Math.hypot(x - corners[i]![0], y - corners[i]![1])))) / 420;

describe("a narrow rim of coating beyond the pale end", () => {
  it.each([
    ["all across, counted right at first", 1, 0],
    ["all across, counted a step too far", 1, 1],
    ["all across, counted a step too near", 1, -1],
    ["over half of it, counted a step too far", 0.6, 1],
  ])("%s, shows which step is the last", (_circumstance, rimShare, by) => {
    const found = refinedStrip(torn(rimShare), moved(by), steps);
    expect(misplacedSteps(found!.corners)).toBeLessThan(0.15);
    expect(found!.isEndSeen).toBe(true);
    expect(found!.evidence.countMargin).toBeGreaterThan(1.5);
  });
});
