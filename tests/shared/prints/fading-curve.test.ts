// Fading: an exact exponential is found again, the slope agrees with a general library's straight line through the
// logarithms, and the ranges hold what they say.
import { linearRegression } from "simple-statistics";
import { describe, expect, it } from "vitest";
import {
  densityAfter,
  fadingCurve,
  fadingWarnings,
  halfAfter,
  isRefused,
  shareLeftAfter,
  type FadingCurve,
  type FadingPoint,
} from "#shared/prints/fading-curve.ts";
import { seededRandom } from "#shared/statistics/random.ts";

function fitted(points: readonly FadingPoint[]): FadingCurve {
  const found = fadingCurve(points);
  if (isRefused(found)) throw new Error(`refused: ${found.code}`);
  return found;
}

const exact = (stages: readonly number[], rate: number, start = 1.4, sigma = 0.01): FadingPoint[] =>
  stages.map((at) => ({ at, density: start * Math.exp(-rate * at), sigma }));

describe("fadingCurve", () => {
  it("finds an exact exponential loss again, and its half", () => {
    const curve = fitted(exact([0, 1, 5, 10], 0.03));
    expect(curve.rate.value).toBeCloseTo(0.03, 10);
    expect(curve.startDensity).toBeCloseTo(1.4, 10);
    expect(curve.scatter).toBe(1);
    expect(shareLeftAfter(curve, 10).value).toBeCloseTo(Math.exp(-0.3), 10);
    expect(densityAfter(curve, 10).value).toBeCloseTo(1.4 * Math.exp(-0.3), 10);
    // ln 2 / 0.03
    expect(halfAfter(curve)?.value).toBeCloseTo(23.105, 3);
  });

  it("with equal relative uncertainties agrees with a straight line through the logarithms", () => {
    const densities = [1.41, 1.33, 1.22, 0.98];
    const stages = [0, 1, 5, 10];
    const curve = fitted(densities.map((density, i) => ({ at: stages[i]!, density, sigma: density * 0.01 })));
    const line = linearRegression(densities.map((density, i) => [stages[i]!, Math.log(density)]));
    expect(curve.rate.value).toBeCloseTo(-line.m, 10);
    expect(Math.log(curve.startDensity)).toBeCloseTo(line.b, 10);
  });

  it("when the readings scatter more than they should, widens by the ratio of Birge", () => {
    const wild = exact([0, 1, 5, 10], 0.03).map((point, i) => ({
      ...point,
      density: point.density + (i % 2 ? 0.05 : -0.05),
    }));
    const [calm, wide] = [fitted(exact([0, 1, 5, 10], 0.03)), fitted(wild)];
    expect(wide.scatter).toBeGreaterThan(3);
    const widthOf = ({ rate }: FadingCurve): number => rate.upper - rate.lower;
    expect(widthOf(wide) / widthOf(calm)).toBeGreaterThan(2.5);
  });

  it("refuses two readings, readings of one stage, and a step that is hardly there", () => {
    expect(fadingCurve(exact([0, 5], 0.03))).toMatchObject({ code: "too-few-readings", readings: 2, needed: 3 });
    expect(fadingCurve(exact([5, 5, 5], 0.03))).toMatchObject({ code: "too-few-stages", stages: 1 });
    expect(fadingCurve(exact([0, 1, 5], 0.03, 0.03))).toMatchObject({ code: "step-too-pale" });
    expect(fadingCurve([...exact([0, 1, 5], 0.03), { at: 9, density: -0.01, sigma: 0.01 }])).toMatchObject({
      code: "step-too-pale",
    });
  });

  it("when nothing is lost, says no half", () => {
    const curve = fitted(
      exact([0, 1, 5, 10], 0).map((point, i) => ({ ...point, density: 1.4 + (i % 2 ? 0.004 : -0.004) })),
    );
    expect(halfAfter(curve)).toBeNull();
    expect(curve.rate.lower).toBeLessThan(0);
  });

  it.each([
    [[0, 1, 5], 0.02],
    [[0, 1, 5, 10], 0.02],
    [[0, 30, 60, 120, 240, 365], 0.001],
  ])("of readings %j, its ranges hold the truth at least 94 times in a hundred", (stages, rate) => {
    const random = seededRandom(11);
    const trials = 1500;
    const last = stages.at(-1)!;
    const truth = { start: 1.3, left: Math.exp(-rate * last) };
    const held = { rate: 0, share: 0, density: 0 };
    for (let i = 0; i < trials; i++) {
      const points = exact(stages, rate, truth.start).map((point) => ({
        ...point,
        density: point.density + 0.01 * random.normal(),
      }));
      const curve = fitted(points);
      const isIn = (value: number, { lower, upper }: { lower: number; upper: number }): number =>
        value >= lower && value <= upper ? 1 : 0;
      held.rate += isIn(rate, curve.rate);
      held.share += isIn(truth.left, shareLeftAfter(curve, last));
      held.density += isIn(truth.start * truth.left, densityAfter(curve, last));
    }
    for (const count of Object.values(held)) expect(count / trials).toBeGreaterThan(0.94);
  });
});

describe("fadingWarnings", () => {
  const curve = fitted(exact([0, 1, 5, 10], 0.03));
  const washed = [0, 1, 5, 10].map((washes) => ({ washes, lightDays: 0 }));
  const codes = (of: Parameters<typeof fadingWarnings>[0]): string[] => fadingWarnings(of).map(({ code }) => code);

  it("of a plain series says only that each stage rests on one photo", () => {
    expect(codes({ curves: [{ step: 1, curve }], readings: washed, asked: 10 })).toEqual(["one-photo-each"]);
  });

  it("tells washes and light together, and what lies beyond the last reading", () => {
    const both = washed.map((reading, i) => ({ ...reading, lightDays: i }));
    expect(codes({ curves: [{ step: 1, curve }], readings: both, asked: 40 })).toEqual([
      "washes-and-light-together",
      "beyond-readings",
      "one-photo-each",
    ]);
  });

  it("without a curve says nothing of curves", () => {
    expect(codes({ curves: [], readings: washed.slice(0, 1), asked: 5 })).toEqual([]);
  });
});
