import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { correctionWarningWords } from "#shared/words/negatives/correction-words.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { correctionFromTones, solvedCorrection } from "#shared/correction/correction.ts";
import { lineThrough } from "#shared/correction/typed-points.ts";
import {
  printedDensity,
  printedLightness,
  printedTones,
  usualPrint,
  type PrintModel,
} from "../../support/pictures/printed-strip.ts";
import { troubleOf } from "../../support/trouble-of.ts";

const printModel: fc.Arbitrary<PrintModel> = fc.record({
  dMax: fc.double({ min: 0.9, max: 1.7, noNaN: true }),
  steepness: fc.double({ min: 1.5, max: 4, noNaN: true }),
  middle: fc.constant(1),
  base: fc.double({ min: 0.03, max: 0.15, noNaN: true }),
  filmRange: fc.double({ min: 1.2, max: 2.6, noNaN: true }),
  gamma: fc.double({ min: 0.7, max: 1.6, noNaN: true }),
  logExposure: fc.double({ min: 1.2, max: 1.9, noNaN: true }),
});
const roaming = { seed: Number(process.env.FC_SEED ?? 20_260_501), numRuns: 20 };

/** Distance of the corrected print from a straight line in L* between its own ends, for each wanted level. */
function straightnessErrors(model: PrintModel, levels: readonly number[]): number[] {
  const ends = [printedLightness(printedDensity(model, 0)), printedLightness(printedDensity(model, 255))] as const;
  return levels.map((level, wanted) =>
    Math.abs(printedLightness(printedDensity(model, level)) - (ends[0] + ((ends[1] - ends[0]) * wanted) / 255)),
  );
}

describe("correction", () => {
  it("for any film and coating, rises from 0 to 255 and prints the target", () => {
    fc.assert(
      fc.property(printModel, (model) => {
        const { levels } = correctionFromTones({
          tones: printedTones(model, { count: 33, sigma: 0.001 }),
          target: "lightness",
        });
        expect(levels).toHaveLength(256);
        expect(levels[0]).toBe(0);
        expect(levels[255]).toBe(255);
        levels.forEach((level, index) => {
          if (index > 0 && level < levels[index - 1]!) throw new Error(`falls at ${index}`);
        });
        const errors = straightnessErrors(model, levels);
        expect(errors.reduce((sum, error) => sum + error) / 256).toBeLessThan(0.4);
        expect(Math.max(...errors)).toBeLessThan(1.5);
      }),
      roaming,
    );
  });

  it("for any film and coating, the usual points lie within one level of all 256, both ends exact", () => {
    fc.assert(
      fc.property(printModel, fc.integer({ min: 1, max: 1e6 }), (model, seed) => {
        const { levels, points, pointsWithinLevels } = correctionFromTones({
          tones: printedTones(model, { count: 24, sigma: 0.01, seed }),
          target: "lightness",
        });
        expect(points[0]).toEqual({ input: 0, output: levels[0] });
        expect(points.at(-1)).toEqual({ input: 255, output: levels[255] });
        const farthest = Math.max(...levels.map((level, input) => Math.abs(lineThrough(points, input) - level)));
        expect(farthest).toBeLessThanOrEqual(1);
        expect(pointsWithinLevels).toBeCloseTo(farthest, 9);
      }),
      roaming,
    );
  });

  it("when tones are as uncertain as a phone photo's, stays within half an L* on average over many prints", () => {
    const means: number[] = [];
    const worsts: number[] = [];
    for (let seed = 1; seed <= 24; seed++) {
      const errors = straightnessErrors(
        usualPrint,
        correctionFromTones({ tones: printedTones(usualPrint, { count: 32, sigma: 0.01, seed }), target: "lightness" })
          .levels,
      );
      means.push(errors.reduce((sum, error) => sum + error) / 256);
      worsts.push(Math.max(...errors));
    }
    means.sort((a, b) => a - b);
    worsts.sort((a, b) => a - b);
    expect(means[12]!).toBeLessThan(0.5);
    expect(worsts[12]!).toBeLessThan(1.5);
    expect(means[21]!).toBeLessThan(1);
    expect(worsts[21]!).toBeLessThan(3);
  });

  it("with the density target, prints densities on a straight line", () => {
    const { levels } = correctionFromTones({ tones: printedTones(usualPrint, { count: 48 }), target: "density" });
    const ends = [printedDensity(usualPrint, 0), printedDensity(usualPrint, 255)] as const;
    const worst = Math.max(
      ...levels.map((level, wanted) =>
        Math.abs(printedDensity(usualPrint, level) - (ends[0] + ((ends[1] - ends[0]) * wanted) / 255)),
      ),
    );
    expect(worst).toBeLessThan(0.02);
  });

  it("with a list of points as target, prints the tones asked for", () => {
    const target = {
      points: [
        { level: 0, percent: 0 },
        { level: 64, percent: 40 },
        { level: 192, percent: 85 },
        { level: 255, percent: 100 },
      ],
    };
    const { levels, target: name } = correctionFromTones({ tones: printedTones(usualPrint, { count: 48 }), target });
    expect(name).toBe("points");
    const ends = [
      printedLightness(printedDensity(usualPrint, 0)),
      printedLightness(printedDensity(usualPrint, 255)),
    ] as const;
    for (const { level, percent } of target.points) {
      expect(
        Math.abs(
          printedLightness(printedDensity(usualPrint, levels[level]!)) -
            (ends[0] + ((ends[1] - ends[0]) * percent) / 100),
        ),
      ).toBeLessThan(0.5);
    }
  });

  it("when a first print is corrected and printed again, asks for no further change", () => {
    const first = correctionFromTones({ tones: printedTones(usualPrint, { count: 48 }), target: "lightness" });
    const corrected = printedTones(usualPrint, { count: 48 }).map((tone) => {
      const sent = lineThrough(
        first.levels.map((output, input) => ({ input, output })),
        tone.level,
      );
      const density = printedDensity(usualPrint, sent);
      return { ...tone, density, lightness: printedLightness(density) };
    });
    const second = correctionFromTones({ tones: corrected, target: "lightness" });
    const furthest = Math.max(...second.levels.slice(4, 252).map((level, index) => Math.abs(level - (index + 4))));
    expect(furthest).toBeLessThan(3);
  });

  it("when several levels print the same darkest blue, keeps 0 clear and goes on beside the levels that differ", () => {
    const tones = printedTones(usualPrint, { count: 33 }).map((tone) =>
      tone.level < 60 ? { ...tone, density: 1.3, lightness: printedLightness(1.3) } : tone,
    );
    const { levels, warnings } = correctionFromTones({ tones, target: "lightness" });
    expect(levels[0]).toBe(0);
    expect(levels[3]!).toBeGreaterThan(45);
    expect(warnings.map(({ code }) => code)).toContain("shadows-blocked");
    expect(correctionWarningWords(warnings.find(({ code }) => code === "shadows-blocked")!)).toMatch(
      /levels 0 to \d\d/,
    );
  });

  it("when the densest film still lets light through, says by how much", () => {
    const { warnings } = correctionFromTones({
      tones: printedTones({ ...usualPrint, filmRange: 1.0 }, { count: 33 }),
      target: "lightness",
    });
    expect(warnings.map(({ code }) => code)).toContain("highlights-not-held");
  });

  it("when the strip leaves the ends out, stays within the levels read and says so", () => {
    const { levels, warnings } = correctionFromTones({
      tones: printedTones(usualPrint, { count: 33 }).slice(2, -2),
      target: "lightness",
    });
    expect(levels[0]).toBeCloseTo(15.94, 2);
    expect(levels[255]).toBeCloseTo(239.06, 2);
    expect(warnings.map(({ code }) => code)).toContain("levels-incomplete");
  });

  it("with 65,536 levels, agrees with the 256 at every whole level", () => {
    const input = {
      tones: printedTones(usualPrint, { count: 33, sigma: 0.01, seed: 5 }),
      target: "lightness",
    } as const;
    const fine = solvedCorrection(input).table(65_536);
    expect(fine).toHaveLength(65_536);
    correctionFromTones(input).levels.forEach((level, index) => expect(fine[index * 257]!).toBeCloseTo(level, 9));
    for (let index = 1; index < fine.length; index++)
      if (fine[index]! < fine[index - 1]!) throw new Error(`falls at ${index}`);
  });

  it("when everything printed alike, or the order is upside down, refuses with a next step", () => {
    const alike = printedTones(usualPrint, { count: 12 }).map((tone) => ({ ...tone, density: 0.5, lightness: 60 }));
    const refusal = (tones: readonly Tone[]) => troubleOf(() => correctionFromTones({ tones, target: "lightness" }));
    expect(refusal(alike)).toMatchObject({ code: "levels-alike", spanLightness: 0, errorCode: "no-correction" });
    const upsideDown = printedTones(usualPrint, { count: 12 }).map((tone) => ({ ...tone, level: 255 - tone.level }));
    expect(refusal(upsideDown)).toMatchObject({ code: "tones-not-rising", errorCode: "no-correction" });
    expect(refusal(printedTones(usualPrint, { count: 12 }).slice(0, 2))).toMatchObject({
      code: "too-few-levels",
      levels: 2,
    });
  });

  it("when highlights merge, calls the film dense only where the paper is known to be clean", () => {
    const dense = { ...usualPrint, filmRange: 4 };
    const said = (isVeilKnown: boolean): string[] =>
      correctionFromTones({
        tones: printedTones(dense, { count: 48 }),
        target: "lightness",
        isVeilKnown,
      }).warnings.flatMap((warning) => (warning.code === "highlights-empty" ? [warning.film] : []));
    expect(said(true)).toEqual(["dense"]);
    expect(said(false)).toEqual(["unknown"]);
  });
});
