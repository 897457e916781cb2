// The scale and its chance are made here, with no formula of the program's own.
import { describe, expect, it } from "vitest";
import { correctionFromTones } from "#shared/correction/correction.ts";
import { correctionResidual, pooledTones, sentAt } from "#shared/correction/refine-correction.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { sheetLevels } from "#shared/tablet/wedge-sheet-layout.ts";
import { chance } from "../../bench/closed-loop/chance.ts";

/** L* that the invented device prints for a level sent. */
const printed = (sent: number): number => 35 + 63 * (1 - (1 - sent / 255) ** 2.4);
const densityOf = (lightness: number): number => -3 * Math.log10((lightness + 16) / 116);
const tone = (level: number, lightness: number): Tone => ({
  level,
  lightness,
  density: densityOf(lightness),
  sigma: 0.006,
});
const levels = sheetLevels(41);

/** Mean distance from straight over all wanted levels, of what the device truly prints. */
function trueDistance(sentLevels: readonly number[]): number {
  const [dark, light] = [printed(0), printed(255)];
  return (
    sentLevels.reduce(
      (sum, sent, level) => sum + Math.abs(printed(sent) - (dark + (level / 255) * (light - dark))),
      0,
    ) / 256
  );
}

describe("correctionResidual", () => {
  it("of a straight print, is nought", () => {
    const residual = correctionResidual(
      levels.map((level) => tone(level, 30 + (level / 255) * 65)),
      "lightness",
    );
    expect(residual.mean).toBeLessThan(1e-9);
    expect(residual.worst).toBeLessThan(1e-9);
  });

  it("of a print bent by three L* in the middle, says so and where", () => {
    const residual = correctionResidual(
      levels.map((level) => tone(level, 30 + (level / 255) * 65 + 3 * Math.sin((Math.PI * level) / 255))),
      "lightness",
    );
    expect(residual.worst).toBeCloseTo(3, 2);
    const worst = residual.tones.reduce((most, each) => (each.difference > most.difference ? each : most));
    expect(Math.abs(worst.level - 128)).toBeLessThan(10);
  });

  it("of a print in even steps of density, is nought against density and far from even lightness", () => {
    const [dark, light] = [densityOf(30), densityOf(95)];
    const even = levels.map((level): Tone => {
      const density = dark + (level / 255) * (light - dark);
      return { level, density, lightness: 116 * 10 ** (-density / 3) - 16, sigma: 0.006 };
    });
    expect(correctionResidual(even, "density").worst).toBeLessThan(1e-9);
    expect(correctionResidual(even, "lightness").worst).toBeGreaterThan(4);
  });

  it("of a print so dark that L* goes by its straight line, still wants even steps of density", () => {
    // CIE 1976: below a luminance of (6/29)^3, L* is (29/3)^3 times the luminance; density 2.5 and 0.5 meet at 1.5,
    // luminance 0.0316.
    const dark = (29 / 3) ** 3 * 10 ** -2.5;
    const [middle, light] = [-1.5, -0.5].map((logLuminance) => 116 * Math.cbrt(10 ** logLuminance) - 16) as [
      number,
      number,
    ];
    const print: Tone[] = [
      [0, dark, 2.5],
      [127.5, middle, 1.5],
      [255, light, 0.5],
    ].map(([level, lightness, density]) => ({ level: level!, lightness: lightness!, density: density!, sigma: 0.006 }));
    expect(dark).toBeLessThan(8);
    expect(correctionResidual(print, "density").worst).toBeLessThan(1e-9);
  });
});

describe("a correction from pooled tones", () => {
  it("with chance in both prints, comes nearer to straight than the first alone, in most studios", () => {
    let better = 0;
    let [sumFirst, sumRefined] = [0, 0];
    for (let seed = 1; seed <= 6; seed++) {
      const random = chance(seed);
      const first = levels.map((level) => tone(level, printed(level) + random.normal(0.7)));
      const correction = correctionFromTones({ tones: first, target: "lightness" });
      const second = levels.map((level) => tone(level, printed(sentAt(correction.levels, level)) + random.normal(0.7)));
      const refined = correctionFromTones({
        tones: pooledTones({ first, sentLevels: correction.levels, second }),
        target: "lightness",
      });
      const [before, after] = [trueDistance(correction.levels), trueDistance(refined.levels)];
      sumFirst += before;
      sumRefined += after;
      if (after < before) better++;
    }
    expect(better).toBeGreaterThanOrEqual(4);
    expect(sumRefined).toBeLessThan(0.9 * sumFirst);
  });

  it("when the second print's whole range is darker, does not take that for a fault of the curve", () => {
    const first = levels.map((level) => tone(level, printed(level)));
    const correction = correctionFromTones({ tones: first, target: "lightness" });
    const darker = (lightness: number): number => 31 + (lightness - 35) * (66.5 / 63);
    const second = levels.map((level) => tone(level, darker(printed(sentAt(correction.levels, level)))));
    const refined = correctionFromTones({
      tones: pooledTones({ first, sentLevels: correction.levels, second }),
      target: "lightness",
    });
    expect(trueDistance(refined.levels)).toBeLessThan(0.3);
    // Moved tones keep lightness and density together.
    for (const each of pooledTones({ first, sentLevels: correction.levels, second }))
      expect(each.density).toBeCloseTo(densityOf(each.lightness), 6);
  });

  it("from a print whose tones are all alike, is refused", () => {
    const first = levels.map((level) => tone(level, printed(level)));
    expect(() =>
      pooledTones({
        first,
        sentLevels: Array.from({ length: 256 }, (_, i) => i),
        second: levels.map((level) => tone(level, 50)),
      }),
    ).toThrow(RangeError);
  });
});
