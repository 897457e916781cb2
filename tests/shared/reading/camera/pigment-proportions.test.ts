// The table of usual proportions against the prints and cameras that it was computed from.
import { describe, expect, it } from "vitest";
import {
  proportionalDensity,
  proportionalSlope,
  usualProportions,
} from "#shared/reading/camera/pigment-proportions.ts";
import { meanAndDirections } from "../../../support/mean-and-directions.ts";
import { drawnPrint, proportionsOf } from "../../../support/pigment-population.ts";

const draws = 1000;

describe("usual proportions of green and blue beside red", () => {
  it.each(["broad", "narrow"] as const)("are those of a thousand drawn prints under drawn %s channels", (kind) => {
    const { mean, directions } = meanAndDirections(
      Array.from({ length: draws }, (_, i) => proportionsOf(drawnPrint(i + 1, kind))),
    );
    usualProportions[kind].mean.forEach((each, k) => expect(each).toBeCloseTo(mean[k]!, 3));
    usualProportions[kind].moves.forEach((moves, d) =>
      moves.forEach((move, k) => expect(move).toBeCloseTo(directions[d]![k]!, 3)),
    );
  });

  it("foretell a print's green to a thousandth once its terms are known", () => {
    const densitiesOf = drawnPrint(5001, "broad");
    const terms = proportionsOf(densitiesOf);
    for (const amount of [0.3, 0.8, 1.4]) {
      const [red, green, blue] = densitiesOf(amount);
      expect(Math.abs(proportionalDensity(terms, 0, red) - green)).toBeLessThan(0.0015);
      expect(Math.abs(proportionalDensity(terms, 3, red) - blue)).toBeLessThan(0.0015);
    }
  });

  it("have the slope of their polynomial", () => {
    const by = 1e-5;
    const terms = usualProportions.broad.mean;
    const rise = proportionalDensity(terms, 3, 0.9 + by) - proportionalDensity(terms, 3, 0.9 - by);
    expect(proportionalSlope(terms, 3, 0.9)).toBeCloseTo(rise / (2 * by), 6);
  });
});
