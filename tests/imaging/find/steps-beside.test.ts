// A strip that was taken too low, since something runs along it that looks like a long edge.
import { describe, expect, it } from "vitest";
import { inverseHomography, homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { widenedOverSteps } from "#src/imaging/find/refined/steps-beside.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import { isInStrip, partOfStrip, stripField } from "../../support/pictures/strip-field.ts";

const steps = 21;
const corners: Corners = [
  [60, 60],
  [640, 84],
  [630, 180],
  [56, 164],
];
/** Blueness (log10) of invented steps. */
const toneOf = (step: number): number => 1.1 / (1 + Math.exp(0.5 * (step - 9)));

/** A strip with a row of pale numbers. @param surround tone round the strip */
const drawn = (surround: number): Field =>
  stripField({
    size: [720, 260],
    corners,
    seed: 11,
    grain: (random) => 0.02 * random.normal(),
    smoothings: 1,
    toneAt: (u, v) => {
      if (!isInStrip(u, v)) return surround;
      const share = (u * steps) % 1;
      const isNumber = v > 0.62 && v < 0.78 && share > 0.2 && share < 0.8;
      return isNumber ? 0.02 : toneOf(Math.floor(u * steps));
    },
  });

/** The part of the strip between two shares of its height. */
const part = (from: number, to: number): Corners => partOfStrip(corners, [0, 1], [from, to]);

/** Where the corners lie across the strip: 0 and 1 its long edges. */
const acrossOf = (found: Corners): number[] => {
  const toStrip = inverseHomography(homographyFromCorners(corners));
  return found.map(([x, y]) => mapPoint(toStrip, x, y)[1]);
};

describe("steps beside what was taken for the strip", () => {
  it.each([
    ["on paper, above a row of numbers", 0, part(0, 0.6)],
    ["in coating, above a row of numbers", 1.1, part(0, 0.6)],
    ["on paper, below a row of numbers", 0, part(0.78, 1)],
    ["on paper, in the middle", 0, part(0.2, 0.6)],
  ])("%s, are taken in, as far as they go", (_circumstance, surround, found) => {
    const widened = acrossOf(widenedOverSteps(drawn(surround), found, steps)!);
    for (const [i, edge] of [0, 0, 1, 1].entries()) expect(Math.abs(widened[i]! - edge)).toBeLessThan(0.06);
  });

  it.each([
    ["on paper", 0],
    ["in coating", 1.1],
  ])("where the strip is whole, %s, are not supposed", (_circumstance, surround) => {
    expect(widenedOverSteps(drawn(surround), corners, steps)).toBeNull();
  });

  it("of a place that lies mostly beyond the picture, are not supposed", () => {
    const beyond = ofEachCorner(part(0, 0.6), ([x, y]): PointPx => [x + 400, y]);
    expect(widenedOverSteps(drawn(0), beyond, steps)).toBeNull();
  });
});
