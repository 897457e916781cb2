import { describe, expect, it } from "vitest";
import { coatingBeside } from "#shared/curve/coating-beside.ts";
import type { BesidePatch } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";

interface Drawn {
  readonly gradient?: number;
  readonly bow?: number;
  readonly noise?: () => number;
  readonly sides?: readonly BesidePatch["side"][];
  readonly count?: number;
  readonly reach?: number;
}

function patches({ gradient = 0, bow = 0, noise = () => 0, sides = ["above", "below"], count = 16, reach = 1 }: Drawn) {
  return sides.flatMap((side) =>
    Array.from({ length: count }, (_, i): BesidePatch => {
      const place = reach * ((2 * (i + 0.5)) / count - 1);
      const red = 1.5 * (1 + gradient * place + bow * (place * place - 1 / 3)) + noise();
      return { place, side, red, visual: red / 2, sigma: 0.006 };
    }),
  );
}

const seen = {
  channel: "red",
  darkest: 1.5,
  stillClimbing: 0,
  sizes: { coatingGradient: 0.03, coatingBow: 0.025 },
} as const;

describe("coatingBeside", () => {
  it("finds the change that was drawn, but for what is known beforehand", () => {
    const shown = coatingBeside(patches({ gradient: 0.03, bow: -0.02 }), seen)!;
    // Held by what is known beforehand: the value times size^2 / (size^2 + sigma^2), from the answer's own sigma.
    const held = (size: number, sigma: number) => 1 - (sigma / size) ** 2;
    expect(shown.gradient / held(0.03, shown.gradientSigma)).toBeCloseTo(0.03, 9);
    expect(shown.bow / held(0.025, shown.bowSigma)).toBeCloseTo(-0.02, 9);
    expect(shown.gradientSigma).toBeLessThan(0.006);
  });

  it("for the visual density, finds the same shares", () => {
    const [red, visual] = (["red", "visual"] as const).map((channel) =>
      coatingBeside(patches({ gradient: 0.02 }), { ...seen, channel, darkest: channel === "red" ? 1.5 : 0.75 }),
    );
    expect(visual!.gradient).toBeCloseTo(red!.gradient, 3);
  });

  it("holds its own uncertainty over many coatings that change otherwise beside the strip than under it", () => {
    const random = seededRandom(5);
    const scores = Array.from({ length: 300 }, () => {
      const gradient = 0.012 * random.normal();
      const sides = (["above", "below"] as const).flatMap((side) =>
        patches({
          gradient: gradient + 0.006 * random.normal(),
          noise: () => 0.008 * random.normal(),
          sides: [side],
        }),
      );
      const shown = coatingBeside(sides, seen)!;
      return ((shown.gradient - gradient) / shown.gradientSigma) ** 2;
    });
    const meanSquare = scores.reduce((sum, score) => sum + score, 0) / scores.length;
    expect(meanSquare).toBeGreaterThan(0.8);
    expect(meanSquare).toBeLessThan(1.2);
  });

  it("where the two sides disagree, or the coating is not saturated, is less sure", () => {
    const agreeing = coatingBeside(patches({ gradient: 0.02 }), seen)!;
    const apart = coatingBeside(
      [...patches({ gradient: 0.04, sides: ["above"] }), ...patches({ gradient: 0, sides: ["below"] })],
      seen,
    )!;
    const climbing = coatingBeside(patches({ gradient: 0.02 }), { ...seen, stillClimbing: 0.5 })!;
    expect(apart.gradientSigma).toBeGreaterThan(2 * agreeing.gradientSigma);
    expect(climbing.gradientSigma).toBeGreaterThan(agreeing.gradientSigma);
  });

  it("leaves out a stain and a faded edge", () => {
    const clean = coatingBeside(patches({ gradient: 0.02, noise: () => 0 }), seen)!;
    const stained = patches({ gradient: 0.02 });
    stained[3] = { ...stained[3]!, red: stained[3]!.red - 0.15 };
    stained[15] = { ...stained[15]!, red: 0.4 };
    expect(coatingBeside(stained, seen)!.gradient).toBeCloseTo(clean.gradient, 3);
  });

  it("says nothing from too few patches, too short a stretch, or what is no fully exposed coating", () => {
    expect(coatingBeside([], seen)).toBeNull();
    expect(coatingBeside(patches({ count: 5 }), seen)).toBeNull();
    expect(coatingBeside(patches({ reach: 0.5 }), seen)).toBeNull();
    expect(coatingBeside(patches({}), { ...seen, darkest: 1 })).toBeNull();
    expect(coatingBeside(patches({}), { ...seen, darkest: 2 })).toBeNull();
  });
});
