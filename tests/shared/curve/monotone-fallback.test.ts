import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { logHAtShare } from "#shared/curve/curve-at.ts";
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { noSystematicErrors } from "#shared/curve/systematic-errors.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

const share = (z: number) => 1 / (1 + Math.exp(-z));
/** A coating of two layers that print one after the other, with a level stretch between: no sigmoid follows it. */
const twoLayers = (logH: number, second = 2.2) => 0.7 * share(9 * (logH - 1.2)) + 0.7 * share(9 * (logH - second));

describe("a curve that no sigmoid describes", () => {
  const random = seededRandom(21);
  const steps = Array.from({ length: 21 }, (_, i) => {
    const logH = 3.15 - 0.15 * i;
    return {
      index: i + 1,
      logH,
      sigmaLogH: 0.01,
      density: twoLayers(logH) + 0.008 * random.normal(),
      sigma: 0.006,
      isFlagged: false,
    };
  });
  const curve = fitCharacteristicCurve({ channel: "red", steps })!;

  it("is drawn smooth and rising through its steps", () => {
    expect(curve.family).toBe("monotone-smooth");
    expect(curve.residualDensity).toBeLessThan(0.04);
    expect(curve.samples.every((sample, i) => i === 0 || sample.density >= curve.samples[i - 1]!.density - 1e-9)).toBe(
      true,
    );
  });
  it("tells the shoulder within its range", () => {
    // 90 % of the two layers' 1.4: the second layer at 0.8 of its own 0.7, the first complete.
    const truth = 2.2 + Math.log(4) / 9;
    const told = logHAtShare(curve, 0.9)!;
    const half = studentT95(curve.degreesOfFreedom) * sigmaLogHAtShare(curve, 0.9)!;
    expect(Math.abs(told - truth)).toBeLessThan(half);
    expect(half).toBeLessThan(0.1);
  });
  it("allows for a tablet whose clear film may differ from its label: all exposures shift by that alone", () => {
    const through = steps.map((step) => ({
      ...step,
      density: step.density - twoLayers(step.logH) + twoLayers(step.logH, 2.4),
      tabletDensity: 3.2 - step.logH,
    }));
    const known = fitCharacteristicCurve({ channel: "red", steps: through })!;
    const errors = { ...noSystematicErrors, tabletBase: 0.03 };
    const doubted = fitCharacteristicCurve({ channel: "red", steps: through, errors })!;
    const at = (of: typeof curve) => of.shareSigmas.find((entry) => entry.share === 0.9)!;
    expect(at(doubted).sigmaLogH! ** 2 - at(known).sigmaLogH! ** 2).toBeCloseTo(0.03 ** 2, 6);
    expect(at(doubted).variances!.find(({ source }) => source === "tablet-scale-and-base")!.variance).toBeCloseTo(
      0.03 ** 2,
      6,
    );
  });
  it("allows for a coating that changes along the strip", () => {
    const placed = steps.map((step, i) => ({ ...step, place: -1 + i / 10 }));
    const errors = { ...noSystematicErrors, coatingGradient: 0.02, coatingBow: 0.01, isCoatingTold: true };
    const doubted = fitCharacteristicCurve({ channel: "red", steps: placed, errors })!;
    expect(sigmaLogHAtShare(doubted, 0.9)!).toBeGreaterThan(sigmaLogHAtShare(curve, 0.9)!);
  });
});

describe("a curve that a sigmoid describes but for its coating's slope", () => {
  it("stays that curve: what the fit finds of the coating is no sign of another shape", () => {
    const random = seededRandom(5);
    const slope = 0.05;
    const steps = Array.from({ length: 31 }, (_, i) => {
      const logH = 3 - 0.1 * i;
      const place = -1 + i / 15;
      const density = 1.5 * share(5 * (logH - 1.4)) * (1 + slope * place);
      return {
        index: i + 1,
        logH,
        sigmaLogH: 0,
        density: density + 0.003 * random.normal(),
        place,
        sigma: 0.003,
        isFlagged: false,
      };
    });
    const errors = { ...noSystematicErrors, coatingGradient: slope, coatingBow: 0.01, isCoatingTold: true };
    const curve = fitCharacteristicCurve({ channel: "red", steps, errors })!;
    // The smooth fall-back knows no lower bound from what the last step reached.
    expect(curve.reachedSigmas).toBeDefined();
    const truth = 1.4 + Math.log(9) / 5;
    expect(Math.abs(logHAtShare(curve, 0.9)! - truth)).toBeLessThan(
      studentT95(curve.degreesOfFreedom) * sigmaLogHAtShare(curve, 0.9)!,
    );
  });
});
