import { describe, expect, it } from "vitest";
import type { Corners } from "#shared/schema/reading.ts";
import { hasBlue, printLikelihood } from "#src/imaging/find/step-colour.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";

const [width, height] = [240, 60];
const steps = 6;
const corners: Corners = [
  [30, 20],
  [210, 20],
  [210, 40],
  [30, 40],
];
/** A row of steps from dark to pale, by the value of each. */
const rowOf = (valueOf: (step: number) => number): Field => ({
  width,
  height,
  values: Float32Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [(i % width) + 0.5, Math.floor(i / width) + 0.5];
    return x < 30 || x >= 210 || y < 20 || y >= 40 ? 0 : valueOf(Math.floor((x - 30) / 30));
  }),
});
const densityOf = (step: number): number => 1.3 - 0.24 * step;

describe("the colour of a row of steps", () => {
  it("when they get bluer as they get darker, is a print's", () => {
    const fields = { darkness: rowOf(densityOf), blueness: rowOf((step) => 0.65 * densityOf(step)) };
    expect(hasBlue(fields.blueness)).toBe(true);
    expect(printLikelihood(fields, corners, steps)).toBe(1);
  });

  it("when they only get darker, is that of greys", () => {
    const fields = { darkness: rowOf(densityOf), blueness: rowOf(() => 0) };
    expect(hasBlue(fields.blueness)).toBe(false);
    expect(printLikelihood(fields, corners, steps)).toBeCloseTo(0.2, 5);
  });

  it("when a sticker hides one of a print's steps, is a print's still", () => {
    const fields = {
      darkness: rowOf((step) => (step === 1 ? 0.1 : densityOf(step))),
      blueness: rowOf((step) => (step === 1 ? -0.05 : 0.65 * densityOf(step))),
    };
    expect(printLikelihood(fields, corners, steps)).toBe(1);
  });
});
