import { describe, expect, it } from "vitest";
import { fitShape, symmetricSigmoid } from "#shared/curve/candidate-shapes.ts";
import { withCoatingSize } from "#shared/curve/coating-sizes.ts";
import { noSystematicErrors } from "#shared/curve/systematic-errors.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const random = seededRandom(7);
const steps = Array.from({ length: 21 }, (_, i) => {
  const logH = 0.15 * i;
  const place = 1 - i / 10;
  const density = (1.5 / (1 + Math.exp(-4.5 * (logH - 1.4)))) * (1 + 0.02 * place);
  return { logH, density: density + 0.006 * random.normal(), sigma: 0.008, place, tabletDensity: null };
});
const fitted = (times: number) =>
  fitShape({
    model: symmetricSigmoid,
    steps,
    starts: [[0, 1.5, 1.4, 0.1]],
    sigmaPaper: null,
    errors: { ...noSystematicErrors, coatingGradient: 0.012 * times, coatingBow: 0.01 * times },
  })!;

describe("another size of the coating's unevenness", () => {
  it.each([0.3, 2.5])("gives what a new fit with %s times the size gives", (size) => {
    const moved = withCoatingSize(fitted(1), { size, common: 1 });
    const anew = fitted(size);
    for (let j = 0; j < 4; j++) {
      expect(moved.parameters[j]!).toBeCloseTo(anew.parameters[j]!, 3);
      expect(Math.sqrt(moved.covariance[j]![j]!) / Math.sqrt(anew.covariance[j]![j]!)).toBeCloseTo(1, 1);
    }
    expect(moved.logEvidence - fitted(1).logEvidence).toBeCloseTo(anew.logEvidence - fitted(1).logEvidence, 1);
  });
});
