import { describe, expect, it } from "vitest";
import { stepsOffColourLine, type ColourDensities } from "#shared/reading/camera/colour-line.ts";
import { oddSteps } from "#shared/reading/odd-steps.ts";
import { twoTonesOf } from "#shared/reading/light/two-tones.ts";
import { noiseFrom } from "../../support/pictures/strip-picture.ts";

const sigma = { red: 0.004, green: 0.004, blue: 0.004 };
const random = noiseFrom(5);
/** A print's scale: green and blue follow red in a curved way. */
const scale = Array.from({ length: 21 }, (_, i): ColourDensities => {
  const red = 1.4 / (1 + Math.exp(0.6 * (i - 9)));
  return {
    red: red + 0.003 * random(),
    green: 0.5 * red - 0.1 * red * red + 0.003 * random(),
    blue: 0.12 * red + 0.02 * red ** 3 + 0.003 * random(),
    sigma,
    isWhole: true,
  };
});
const withSticker = (at: number, [red, green, blue]: readonly [number, number, number]) =>
  scale.map((step, i) => (i === at ? { ...step, red, green, blue } : step));
/** Densities of stickers over paper. */
const yellow = [0.08, 0.11, 0.9] as const;
const scarlet = [0.03, 0.62, 0.9] as const;
const black = [1.5, 1.5, 1.5] as const;

describe("stepsOffColourLine", () => {
  it("for a plain scale, finds none", () => {
    expect(stepsOffColourLine(scale)).toEqual([]);
  });

  it("when a coloured sticker covers a step, at either end or between, names it", () => {
    for (const sticker of [yellow, scarlet, black]) {
      for (const at of [0, 10, 19, 20]) expect(stepsOffColourLine(withSticker(at, sticker))).toEqual([at]);
    }
  });

  it("when two steps are covered, names both", () => {
    const both = withSticker(3, yellow).map((step, i) =>
      i === 15 ? { ...step, red: scarlet[0], green: scarlet[1], blue: scarlet[2] } : step,
    );
    expect(stepsOffColourLine(both)).toEqual([3, 15]);
  });

  it("when red is cut off in a step, or too few steps are whole, says nothing about them", () => {
    expect(stepsOffColourLine(withSticker(4, yellow).map((step, i) => ({ ...step, isWhole: i !== 4 })))).toEqual([]);
    expect(stepsOffColourLine(withSticker(2, yellow).slice(0, 6))).toEqual([]);
  });
});

describe("oddSteps", () => {
  const reds = scale.map((step) => step.red);
  const sigmas = reds.map(() => 0.004);

  it("when paper-white lies on the dark end step, or black on the pale one, names it", () => {
    expect(
      oddSteps(
        reds.map((red, i) => (i === 0 ? 0.01 : red)),
        sigmas,
      ),
    ).toEqual([0]);
    expect(
      oddSteps(
        reds.map((red, i) => (i === 20 ? 1.4 : red)),
        sigmas,
      ),
    ).toEqual([20]);
  });

  it("when a coarse scale ends in its steep part, or its shoulder falls, names no end", () => {
    expect(oddSteps([1.35, 1.28, 1.1, 0.8, 0.45], [0.01, 0.01, 0.01, 0.01, 0.01])).toEqual([]);
    expect(
      oddSteps(
        [1.05, 1.2, 1.3, 1.34, 1.33, 1.2, 0.9],
        Array.from({ length: 7 }, () => 0.01),
      ),
    ).toEqual([]);
  });
});

describe("twoTonesOf", () => {
  /** Sums of twelve evenly spread numbers are close to normal. */
  const normal = () => Array.from({ length: 12 }, random).reduce((sum, value) => sum + value, 0);
  const noisy = (count: number, mean: (i: number) => number) =>
    Array.from({ length: count }, (_, i) => mean(i) + 0.0005 * normal());

  it("for noise alone gives about 2.6, for an even slope about 3.5, and across an edge far more", () => {
    expect(
      twoTonesOf(
        noisy(400, () => 0.5),
        0.0005,
      )!.separation,
    ).toBeCloseTo(2.65, 0);
    expect(
      twoTonesOf(
        Array.from({ length: 100 }, (_, i) => 0.5 + i / 1000),
        0.0005,
      )!.separation,
    ).toBeCloseTo(3.46, 1);
    const edge = twoTonesOf(
      noisy(64, (i) => (i % 4 === 0 ? 0.53 : 0.5)),
      0.0005,
    )!;
    expect(edge.separation).toBeGreaterThan(8);
    expect(edge.rarerShare).toBeCloseTo(0.25, 2);
    expect(edge.contrast).toBeCloseTo(0.03 / 0.5075, 2);
  });

  it("when tones differ by less than rounding makes, does not tell them apart, and with few tiles gives none", () => {
    expect(
      twoTonesOf(
        noisy(64, (i) => (i % 2 === 0 ? 0.504 : 0.5)).map((value) => Math.round(value / 0.004) * 0.004),
        0.004,
      )!.separation,
    ).toBeLessThan(2.6);
    expect(twoTonesOf([0.1, 0.2, 0.3], 0.001)).toBeNull();
  });
});
