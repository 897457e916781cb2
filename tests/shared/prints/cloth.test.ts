// Cloth: shrinkage, size before the wash, register, metres, sensitizer. Expected values by hand arithmetic.
import { describe, expect, it } from "vitest";
import { registerMissMm, shrinkageOf, sizeToPrint } from "#shared/prints/cloth/finished-size.ts";
import { coatingPerMetreMl, mlPerM2From, yardageOf } from "#shared/prints/cloth/yardage.ts";
import { seededRandom } from "#shared/statistics/random.ts";

describe("shrinkageOf", () => {
  it("is the mean loss of the pieces; one more piece is surer the more were measured", () => {
    const three = shrinkageOf(200, [194, 193, 195]);
    expect(three.percent).toBeCloseTo(3, 10);
    // sd 0.5 points, times the root of 4/3, times t(2) = 4.303 over 1.960 (Student's table).
    expect(three.sigmaPercent).toBeCloseTo(0.5 * Math.sqrt(4 / 3) * (4.3027 / 1.95996), 3);
    expect(shrinkageOf(200, [194, 193, 195, 194, 193, 195, 194]).sigmaPercent).toBeLessThan(three.sigmaPercent);
  });

  it("of one piece alone has the usual scatter; cloth that grew has a loss below nothing", () => {
    expect(shrinkageOf(200, [194]).sigmaPercent).toBeGreaterThan(1);
    expect(shrinkageOf(200, [202, 202]).percent).toBeCloseTo(-1, 10);
    expect(() => shrinkageOf(200, [])).toThrow(RangeError);
    expect(() => shrinkageOf(0, [1])).toThrow(RangeError);
  });

  it("when pieces scatter normally, its range holds one more piece about 95 times in a hundred", () => {
    const random = seededRandom(7);
    const trials = 2000;
    let held = 0;
    for (let i = 0; i < trials; i++) {
      const piece = (): number => 200 * (1 - (4 + 1.5 * random.normal()) / 100);
      const { percent, sigmaPercent } = shrinkageOf(200, [piece(), piece(), piece(), piece()]);
      const next = (100 * (200 - piece())) / 200;
      if (Math.abs(next - percent) <= 1.959964 * sigmaPercent) held++;
    }
    expect(held / trials).toBeGreaterThan(0.935);
    expect(held / trials).toBeLessThan(0.97);
  });
});

describe("sizeToPrint", () => {
  it("shrinks to the wanted size", () => {
    const { mm, lowerFinishedMm, upperFinishedMm } = sizeToPrint(300, { percent: 4, sigmaPercent: 1 });
    expect(mm).toBeCloseTo(312.5, 10);
    expect(mm * 0.96).toBeCloseTo(300, 10);
    expect(upperFinishedMm - 300).toBeCloseTo(1.95996 * 3.125, 3);
    expect(300 - lowerFinishedMm).toBeCloseTo(upperFinishedMm - 300, 10);
  });

  it("without shrinkage is the size itself, and cloth cannot vanish", () => {
    expect(sizeToPrint(300, { percent: 0, sigmaPercent: 0 })).toEqual({
      mm: 300,
      lowerFinishedMm: 300,
      upperFinishedMm: 300,
    });
    expect(() => sizeToPrint(300, { percent: 100, sigmaPercent: 1 })).toThrow(RangeError);
  });
});

describe("registerMissMm", () => {
  it("is half of what the size may be off, at each of two edges", () => {
    const shrinkage = { percent: 4, sigmaPercent: 1 };
    const { upperFinishedMm } = sizeToPrint(300, shrinkage);
    expect(registerMissMm(300, shrinkage)).toBeCloseTo((upperFinishedMm - 300) / 2, 10);
  });
});

describe("yardageOf", () => {
  it("lays pieces side by side in as many rows as it takes", () => {
    expect(yardageOf({ widthMm: 400, lengthMm: 500 }, 5, 1400)).toEqual({ across: 3, rows: 2, lengthMm: 1000 });
    expect(yardageOf({ widthMm: 700, lengthMm: 500 }, 4, 1400)).toEqual({ across: 2, rows: 2, lengthMm: 1000 });
    expect(yardageOf({ widthMm: 400, lengthMm: 500 }, 5, null)).toEqual({ across: 1, rows: 5, lengthMm: 2500 });
    expect(yardageOf({ widthMm: 1401, lengthMm: 500 }, 1, 1400)).toBeNull();
  });
});

describe("sensitizer", () => {
  it("for a metre follows from that for a square metre and the width", () => {
    expect(mlPerM2From(125)).toBe(80);
    expect(coatingPerMetreMl(80, 1400)).toBeCloseTo(112, 10);
  });
});
