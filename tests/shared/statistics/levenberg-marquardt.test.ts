import { describe, expect, it } from "vitest";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { agreeingDigits } from "../../support/agreeing-digits.ts";
import { nistSets } from "../../support/nist-strd.ts";

const models: Record<string, (b: readonly number[], x: number) => number> = {
  Rat42: ([b1, b2, b3], x) => b1! / (1 + Math.exp(b2! - b3! * x)),
  Rat43: ([b1, b2, b3, b4], x) => b1! / (1 + Math.exp(b2! - b3! * x)) ** (1 / b4!),
  MGH09: ([b1, b2, b3, b4], x) => (b1! * (x * x + x * b2!)) / (x * x + x * b3! + b4!),
  Thurber: ([b1, b2, b3, b4, b5, b6, b7], x) =>
    (b1! + x * (b2! + x * (b3! + x * b4!))) / (1 + x * (b5! + x * (b6! + x * b7!))),
};

describe("levenbergMarquardt on certified problems", () => {
  const sets = nistSets("nonlinear");
  it("has all four sets", () => expect(sets.map((set) => set.name)).toEqual(["Rat42", "Rat43", "MGH09", "Thurber"]));

  const cases = sets.flatMap((set) =>
    set.starts.map((start, i) => ({ title: `${set.name} from start ${i + 1}`, set, start })),
  );
  it.each(cases)("$title: six digits of parameters, standard errors and sum of squares", ({ set, start }) => {
    const model = models[set.name]!;
    const fit = levenbergMarquardt({
      residuals: (b) => set.y.map((y, i) => model(b, set.x[i]![0]!) - y),
      start,
      maxIterations: 5000,
    });
    expect(fit.converged, fit.stopped).toBe(true);
    expect(fit.degreesOfFreedom).toBe(set.degreesOfFreedom);
    fit.parameters.forEach((value, j) =>
      expect(agreeingDigits(value, set.certified[j]!), `b${j + 1}`).toBeGreaterThan(6),
    );
    expect(agreeingDigits(fit.residualSumSquares, set.residualSumSquares)).toBeGreaterThan(9);
    const variance = fit.residualSumSquares / fit.degreesOfFreedom;
    set.standardErrors.forEach((certified, j) =>
      expect(
        agreeingDigits(Math.sqrt(fit.unscaledCovariance![j]![j]! * variance), certified),
        `error of b${j + 1}`,
      ).toBeGreaterThan(5),
    );
  });
});

describe("levenbergMarquardt", () => {
  it("when the data do not fix a parameter, gives no covariance and says how it ended", () => {
    const fit = levenbergMarquardt({ residuals: ([a, b]) => [1, 2, 3].map((y) => a! + b! - y), start: [0, 0] });
    expect(fit.unscaledCovariance).toBeNull();
    expect(fit.residualSumSquares).toBeCloseTo(2, 9);
  });
  it("when the model is not finite at the start, says so instead of answering", () => {
    const fit = levenbergMarquardt({ residuals: ([a]) => [Math.log(a!), 1], start: [-1] });
    expect(fit).toMatchObject({ stopped: "not-finite", converged: false });
  });
  it("when it runs out of iterations, says so", () => {
    const fit = levenbergMarquardt({
      residuals: ([a, b]) => [10 * (b! - a! * a!), 1 - a!],
      start: [-1.2, 1],
      maxIterations: 2,
    });
    expect(fit).toMatchObject({ stopped: "too-many-iterations", converged: false });
  });
  it("with fewer residuals than parameters, refuses", () => {
    expect(() => levenbergMarquardt({ residuals: () => [0], start: [1, 2] })).toThrow(RangeError);
  });
});
