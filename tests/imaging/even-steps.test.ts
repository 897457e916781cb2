// Painted fields of steps in perspective, and marks whose heights at the ends are off, as people mark thin strips.
import { describe, expect, it } from "vitest";
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { evenedCorners } from "#src/imaging/even-steps.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";

const steps = 21;
const truth: Corners = [
  [40, 40],
  [640, 50],
  [640, 108],
  [40, 120],
];
/** Both ends marked well along the strip, the first end too high by a fourteenth, the other as much too low. */
const marked: Corners = [
  [40, 37],
  [640, 52],
  [640, 106],
  [40, 123],
];

function painted(toneOf: (step: number) => number): Field {
  const [width, height] = [680, 160];
  const back = inverseHomography(homographyFromCorners(truth));
  const random = seededRandom(1);
  const values = Float32Array.from({ length: width * height }, (_, at) => {
    const [u, v] = mapPoint(back, (at % width) + 0.5, Math.floor(at / width) + 0.5);
    const isInside = u > 0 && u < 1 && v > 0 && v < 1;
    return (isInside ? toneOf(Math.floor(u * steps)) : 0) + 0.005 * random.normal();
  });
  return { width, height, values };
}

const falling = (step: number) => 1.2 / (1 + Math.exp(0.4 * (step - 9)));
const places = { steps, endSteps: 0.13, middleSteps: 0.5 };

/** How far the boundaries of a quad lie from the true ones at most, along the middle line, in steps. */
function furthest(corners: Corners): number {
  const [forth, back] = [homographyFromCorners(corners), inverseHomography(homographyFromCorners(truth))];
  const off = Array.from({ length: steps + 1 }, (_, k) =>
    Math.abs(mapPoint(back, ...mapPoint(forth, k / steps, 0.5))[0] * steps - k),
  );
  return Math.max(...off);
}

describe("marks moved until their steps are even", () => {
  it("when another perspective had moved the middle by over half a step, have it back to a sixth", () => {
    expect(furthest(marked)).toBeGreaterThan(0.6);
    const evened = evenedCorners(painted(falling), marked, places)!;
    expect(furthest(evened.corners)).toBeLessThan(1 / 6);
    expect(evened.isAlone).toBe(true);
    expect(evened.movedSteps).toBeGreaterThan(0.5);
  });

  it("when they were good, are left alone", () => {
    expect(evenedCorners(painted(falling), truth, places)).toBeNull();
  });

  it("where a step further would be as even, say so", () => {
    const few = painted((step) => Math.min(Math.max(13 - step, 0), 6) / 6);
    const evened = evenedCorners(few, marked, { ...places, endSteps: 0.6, middleSteps: 1.5 })!;
    expect(evened.isAlone).toBe(false);
  });
});
