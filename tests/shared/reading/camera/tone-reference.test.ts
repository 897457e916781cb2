import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitToneCorrection, patchTrouble, type PatchTone } from "#shared/reading/camera/tone-reference.ts";

const densities = [0.05, 0.23, 0.44, 0.7, 1.05, 1.5];
/** A camera of its own: stray light, a power other than sRGB's, and a shoulder. */
const camera = (light: number, power: number, flare: number) => {
  const bent = (0.8 * (light + flare)) ** power;
  return bent * (1 + 0.15 * (1 - bent));
};
const light = (density: number) => 10 ** -density;
const patchesOf = (seen: (density: number) => number, of: readonly number[] = densities): PatchTone[] =>
  of.map((density) => ({ trueLight: light(density), seen: seen(density), sigmaShare: 0.002, lightErrors: [] }));

describe("fitToneCorrection", () => {
  const cameras = fc.tuple(
    fc.double({ min: 0.8, max: 1.35, noNaN: true }),
    fc.double({ min: 0, max: 0.02, noNaN: true }),
  );

  it("with six patches, mends power, shoulder and flare to 0.02 density and three standard uncertainties", () => {
    fc.assert(
      fc.property(cameras, ([power, flare]) => {
        const patches = patchesOf((density) => camera(light(density), power, flare));
        const correction = fitToneCorrection(patches);
        expect(patchTrouble(patches, correction)).toBeNull();
        const paper = correction.trueLight(camera(light(0.07), power, flare));
        for (let density = 0.05; density <= 1.5; density += 0.05) {
          const corrected = correction.trueLight(camera(light(density), power, flare));
          const error = Math.log10(paper / corrected) - (density - 0.07);
          expect(Math.abs(error)).toBeLessThan(0.02);
          expect(Math.abs(error)).toBeLessThan(3 * correction.sigmaBetween(corrected, paper) + 0.001);
        }
      }),
      { seed: 6, numRuns: 40 },
    );
  });

  it("beyond the darkest patch, and beyond the palest, grows less sure", () => {
    const seen = (density: number) => camera(light(density), 1.1, 0.008);
    const whole = fitToneCorrection(patchesOf(seen));
    const withoutDark = fitToneCorrection(patchesOf(seen, densities.slice(0, 4)));
    const withoutPale = fitToneCorrection(patchesOf(seen, densities.slice(1)));
    expect(whole.sigmaBetween(light(1.9), light(0.07))).toBeGreaterThan(
      2 * whole.sigmaBetween(light(1.5), light(0.07)),
    );
    expect(withoutDark.sigmaBetween(light(1.4), light(0.07))).toBeGreaterThan(
      3 * whole.sigmaBetween(light(1.4), light(0.07)),
    );
    expect(withoutPale.sigmaBetween(light(1), light(0.07))).toBeGreaterThan(
      1.5 * whole.sigmaBetween(light(1), light(0.07)),
    );
    expect(whole.sigmaBetween(light(0.07), light(0.07))).toBeLessThan(1e-6);
  });

  it("when the light on the patches is not known, is less sure by as much", () => {
    const patches = patchesOf((density) => camera(light(density), 1, 0.005));
    const slanted = patches.map((patch, i) => ({ ...patch, lightErrors: [0.1 * ((2 * i) / 5 - 1)] }));
    const [sure, unsure] = [patches, slanted].map((each) =>
      fitToneCorrection(each).sigmaBetween(light(1.4), light(0.07)),
    );
    expect(unsure! / sure!).toBeGreaterThan(2);
  });
});

describe("patchTrouble", () => {
  it("when two patches are mixed up, says that they contradict each other", () => {
    const seen = densities.map((density) => camera(light(density), 1, 0.01));
    [seen[2], seen[3]] = [seen[3]!, seen[2]!];
    const patches = patchesOf((density) => seen[densities.indexOf(density)]!);
    expect(patchTrouble(patches, fitToneCorrection(patches))).toEqual({ code: "paler-than-another" });
  });

  it("when one patch has another density than it is said to have, says that no curve fits", () => {
    const patches = patchesOf((density) => camera(light(density === 0.44 ? 0.6 : density), 1, 0.01));
    expect(patchTrouble(patches, fitToneCorrection(patches))).toMatchObject({ code: "no-camera-curve" });
  });
});
