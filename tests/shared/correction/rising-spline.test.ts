import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { mergeTones } from "#shared/correction/merge-tones.ts";
import { risingSpline } from "#shared/correction/rising-spline.ts";
import { fitToneScale, lightnessPerDensity } from "#shared/correction/tone-scale.ts";
import { sheetLevels } from "#shared/tablet/wedge-sheet-layout.ts";
import { normalFrom, printedLightness, seededRandom } from "../../support/pictures/printed-strip.ts";

describe("rising spline", () => {
  it("for any points, never falls", () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 3, maxLength: 40 }), (ys) => {
        const curve = risingSpline(ys.map((y, index) => ({ x: index * 5, y, sigma: 0.3 })));
        for (let x = 0.25; x <= (ys.length - 1) * 5; x += 0.25)
          if (curve(x) < curve(x - 0.25) - 1e-12) throw new Error(`falls at ${x}`);
      }),
      { seed: Number(process.env.FC_SEED ?? 20_260_501), numRuns: 40 },
    );
  });

  it("when points lie on a straight line, is that line to 6 digits", () => {
    const curve = risingSpline([0, 10, 20, 35, 60, 100].map((x) => ({ x, y: 2 + 0.5 * x, sigma: 0.1 })));
    for (const x of [0, 5, 33, 77, 100]) expect(curve(x)).toBeCloseTo(2 + 0.5 * x, 5);
  });

  it("when points are noisy, comes closer to the truth than the points do", () => {
    const random = seededRandom(11);
    const truth = (x: number) => 50 / (1 + Math.exp(-(x - 100) / 20));
    const points = Array.from({ length: 60 }, (_, index) => ({
      x: index * 4,
      y: truth(index * 4) + normalFrom(random),
      sigma: 1,
    }));
    const curve = risingSpline(points);
    const rms = (error: (point: { x: number; y: number }) => number) =>
      Math.sqrt(points.reduce((sum, point) => sum + error(point) ** 2, 0) / points.length);
    expect(rms(({ x }) => curve(x) - truth(x))).toBeLessThan(0.5 * rms(({ x, y }) => y - truth(x)));
  });
});

describe("tone scale", () => {
  // Invented scales: one whose tones all lie within few levels at the dark end, as on a film denser than its coating
  // needs; one that bends in the middle; one that bends at the light end. 41 tones, each 0.15 L* off.
  it.each([
    ["within few levels", (x: number) => 45 + 54 * (1 - Math.exp(-x / 25)), 0.08],
    ["in the middle", (x: number) => 45 + 54 / (1 + Math.exp(-(x - 90) / 25)), 0.095],
    ["at the light end", (x: number) => 45 + 54 * Math.exp(-(255 - x) / 40), 0.08],
  ])(
    "that bends %s, scatters a third less than its tones, and its dark end hardly more than one of them",
    (_, truth, rms) => {
      const [all, ends]: [number[], number[]] = [[], []];
      for (let seed = 500; seed < 530; seed++) {
        const random = seededRandom(seed);
        const tones = sheetLevels(41).map((level) => {
          const lightness = truth(level) + 0.15 * normalFrom(random);
          const sigma = 0.15 / lightnessPerDensity(lightness);
          return { level, lightness, density: 3 * Math.log10(116 / (lightness + 16)), sigma };
        });
        const scale = fitToneScale(tones, "lightness");
        ends.push((scale.darkest - truth(0)) ** 2);
        for (let level = 0; level <= 255; level += 3) all.push((scale.valueAt(level) - truth(level)) ** 2);
      }
      const root = (squares: number[]) => Math.sqrt(squares.reduce((sum, each) => sum + each) / squares.length);
      expect(root(all)).toBeLessThan(rms);
      expect(root(ends)).toBeLessThan(0.19);
    },
  );
});

describe("tones", () => {
  it("one density unit changes L* as the CIE formula does", () => {
    for (const density of [0.01, 0.5, 1, 1.4, 1.9, 2.4]) {
      const numeric = (printedLightness(density - 1e-5) - printedLightness(density + 1e-5)) / 2e-5;
      expect(lightnessPerDensity(printedLightness(density))).toBeCloseTo(numeric, 3);
    }
  });

  it("replicates are averaged, and their scatter counts when it is larger than promised", () => {
    const tone = (density: number) => ({ level: 10, lightness: 50, density, sigma: 0.01 });
    const [quiet] = mergeTones([tone(1), tone(1), tone(1), tone(1)]);
    expect(quiet!.sigma).toBeCloseTo(0.005, 9);
    const [loud] = mergeTones([tone(0.9), tone(1.1), tone(0.9), tone(1.1)]);
    expect(loud!.density).toBeCloseTo(1, 9);
    // Standard error of four values 0.1 off the mean: 0.1 x sqrt(4/3) / sqrt(4).
    expect(loud!.sigma).toBeCloseTo(0.057735, 5);
  });
});
