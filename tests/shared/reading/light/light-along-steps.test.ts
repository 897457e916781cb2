import { describe, expect, it } from "vitest";
import { fallsAlongWithSteps } from "#shared/reading/light/light-field.ts";

/** Densities of a usual test, in natural logarithms. */
const densities = Array.from({ length: 21 }, (_, i) => (1.4 * Math.LN10) / (1 + Math.exp(0.6 * (i - 8))));
const under = (lightAt: (u: number) => number, share = 1) =>
  densities.map((density, i) => {
    const paper = lightAt((i + 0.5) / densities.length);
    return { paper, step: paper - share * density };
  });

describe("what was taken for paper beside the strip", () => {
  it("when it is the strip itself, going on there, falls along with the steps", () => {
    // The field follows the steps: nothing is left between them.
    expect(fallsAlongWithSteps(densities.map((density) => ({ paper: -0.97 * density, step: -density })))).toBe(true);
  });

  it.each([
    ["even light", () => 0],
    ["light that falls by two stops along with the steps", (u: number) => 2 * Math.LN2 * u],
    ["light that falls by two stops against them", (u: number) => -2 * Math.LN2 * u],
    ["light that is best in the middle", (u: number) => -3 * (u - 0.5) ** 2],
  ] as const)("when it is paper under %s, does not", (_what, light) => {
    expect(fallsAlongWithSteps(under(light))).toBe(false);
  });

  it("when a pale print lies under light that falls by half a stop, is still believed", () => {
    expect(fallsAlongWithSteps(under((u) => 0.5 * Math.LN2 * u, 0.2))).toBe(false);
  });
});
