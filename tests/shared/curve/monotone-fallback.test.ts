import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { logHAtShare } from "#shared/curve/curve-at.ts";
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

const share = (z: number) => 1 / (1 + Math.exp(-z));
/** A coating of two layers that print one after the other, with a level stretch between: no sigmoid follows it. */
const twoLayers = (logH: number) => 0.7 * share(9 * (logH - 1.2)) + 0.7 * share(9 * (logH - 2.2));

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
});
