import { describe, expect, it } from "vitest";
import { coatingBeside } from "#shared/curve/coating-beside.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { blueprint, blueprintDensities, stripFile, type StripPicture } from "../support/pictures/strip-picture.ts";

const corners: Corners = [
  [80, 200],
  [710, 200],
  [710, 300],
  [80, 300],
];
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const request = { tablet, corners };
const full = blueprintDensities[0]!;

/** A print whose coating changes along the strip, and reaches past it on both sides with paper beyond. */
const print = (gradient: number): StripPicture => {
  const factor = (u: number) => 1 + gradient * (2 * u - 1);
  return {
    width: 790,
    height: 500,
    corners,
    densities: blueprintDensities.map((density, i) => density * factor(i / 20)),
    around: (u, v) => {
      const isCoated = Math.abs(v - 0.5) < 1.1 && u > -0.06 && u < 1.06;
      const density = isCoated ? full * factor(u) : 0;
      return [blueprint[0] * density, blueprint[1] * density, blueprint[2] * density];
    },
    light: (x, y) => 1 - 0.15 * x - 0.05 * y,
    grain: 0.01,
  };
};

describe("exposed coating beside the strip", () => {
  for (const gradient of [-0.03, 0, 0.03])
    it(`when it changes by ${100 * gradient} % to an end, under uneven light, tells so`, async () => {
      const { coatingBeside: patches = [], steps } = await measureReading({
        picture: await stripFile(print(gradient), "png", 16),
        request,
      });
      expect(new Set(patches.map(({ side }) => side)).size).toBe(2);
      const shown = coatingBeside(patches, {
        channel: "red",
        darkest: Math.max(...steps.map((step) => step.red)),
        stillClimbing: 0,
        sizes: { coatingGradient: 0.03, coatingBow: 0.025 },
      })!;
      expect(Math.abs(shown.gradient - gradient)).toBeLessThan(0.005);
      expect(shown.gradientSigma).toBeLessThan(0.006);
    });

  it("when bare paper begins at the strip, is not there", async () => {
    const { coatingBeside: patches } = await measureReading({
      picture: await stripFile({ ...print(0), around: () => [0, 0, 0] }, "png", 16),
      request,
    });
    expect(patches).toBeUndefined();
  });
});
