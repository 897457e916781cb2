// Cameras of the tests' own, none of them the reader's S: powers, shoulders, feet, and steps of a lookup curve.
// Invented.
import { describe, expect, it } from "vitest";
import { linearFromSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { bracketedDensities } from "#shared/reading/camera/bracket.ts";
import type { ExposedPicture } from "#shared/reading/camera/seen-tones.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

/** Code (0-1) of light (0-1, 1 just clips). */
const cameras: readonly (readonly [string, (light: number) => number])[] = [
  ["the plain sRGB curve", (light) => srgbFromLinear(light)],
  ["a power", (light) => light ** (1 / 2.6)],
  ["a shoulder", (light) => srgbFromLinear(1 - Math.exp(-1.6 * light)) / srgbFromLinear(1 - Math.exp(-1.6))],
  ["a foot", (light) => srgbFromLinear((1.02 * light * light) / (light + 0.02))],
  [
    "an S",
    (light) => {
      const x = srgbFromLinear(light);
      return x + 0.09 * Math.sin(2 * Math.PI * (x - 0.5));
    },
  ],
  ["a lifted middle", (light) => srgbFromLinear(light) + 0.05 * Math.sin(Math.PI * srgbFromLinear(light))],
];
const densities = Array.from({ length: 21 }, (_, i) => 1.5 / (1 + Math.exp(4 * (i * 0.15 - 1.4))));
const noise = 0.004;

function picture(
  camera: (light: number) => number,
  { stops, flare = 0, random }: { stops: number; flare?: number; random: Random },
): ExposedPicture {
  const exposure = 0.5 * 2 ** stops;
  const seen = (density: number, share: number) => {
    const light = exposure * (0.85 * 10 ** -density + 0.85 * flare) * 10 ** (share * random.normal());
    return linearFromSrgb(camera(Math.min(light, 1)));
  };
  const noted = Math.log10(exposure) + 0.005 * random.normal();
  return {
    logExposure: noted,
    steps: densities.map((density) => ({ light: seen(density, noise), paper: seen(0, 0.001), sigma: noise })),
  };
}

describe("bracketedDensities", () => {
  const errorsOf = (camera: (light: number) => number, seed: number) => {
    const random = seededRandom(seed);
    const pictures = [-1, 0, 1.3].map((stops) => picture(camera, { stops, random }));
    const solved = bracketedDensities(pictures)!;
    return solved.red.map((red, i) => ({
      error: red!.density - densities[i]!,
      sigma: Math.hypot(solved.curveSigma[i]!, noise),
    }));
  };

  it.each(cameras)("of three pictures by a camera with %s reads within 0.02", (_name, camera) => {
    const all = [1, 2, 3, 4, 5].flatMap((seed) => errorsOf(camera, seed));
    const rms = Math.sqrt(all.reduce((sum, { error }) => sum + error ** 2, 0) / all.length);
    expect(rms).toBeLessThan(0.02);
  });

  it("states over all cameras what it is off by", () => {
    const all = cameras.flatMap(([, camera]) => [11, 12, 13, 14, 15].flatMap((seed) => errorsOf(camera, seed)));
    const spread = Math.sqrt(all.reduce((sum, { error, sigma }) => sum + (error / sigma) ** 2, 0) / all.length);
    expect(spread).toBeGreaterThan(0.6);
    expect(spread).toBeLessThan(1.2);
  });

  it("beats one picture alone, whose densities the curve bends by more than a tenth", () => {
    const [, camera] = cameras[4]!;
    const alone = picture(camera, { stops: 0, random: seededRandom(3) });
    const error = Math.log10(alone.steps[0]!.paper / alone.steps[0]!.light) - densities[0]!;
    expect(Math.abs(error)).toBeGreaterThan(0.1);
  });

  it("with exposures too close together, or one picture, says nothing", () => {
    const random = seededRandom(1);
    const [, camera] = cameras[1]!;
    expect(bracketedDensities([picture(camera, { stops: 0, random })])).toBeNull();
    expect(bracketedDensities([0, 0.3].map((stops) => picture(camera, { stops, random })))).toBeNull();
  });

  describe("of which the brightest has lost paper and blue", () => {
    const [, camera] = cameras[0]!;
    const inColour = (stops: number, isDeepLost: boolean): ExposedPicture => {
      const random = seededRandom(40 + stops);
      const { logExposure, steps } = picture(camera, { stops, random });
      const alike = steps.map((step, i) => ({
        ...step!,
        light: isDeepLost && i < 3 ? 0.0005 : step!.light,
        green: step!,
        blue: { ...step!, light: stops > 1 ? 1 : step!.light },
      }));
      return { logExposure, steps: alike };
    };

    it("still learns from its red how steep the curve is", () => {
      const two = bracketedDensities([-1, 0].map((stops) => inColour(stops, false)))!;
      const three = bracketedDensities([-1, 0, 1.3].map((stops) => inColour(stops, false)))!;
      expect(three.gammaSigma).toBeLessThan(0.6 * two.gammaSigma);
    });

    it("has steps that it alone shows read by the exposures", () => {
      const solved = bracketedDensities([inColour(-1, true), inColour(0, true), inColour(1.3, false)])!;
      const known = [0, 1, 2].map((i) => solved.red[i]!.density - densities[i]!);
      for (const error of known) expect(Math.abs(error)).toBeLessThan(0.04);
    });
  });
});
