import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { densityAt } from "#shared/curve/curve-at.ts";
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { assessTest } from "#shared/advice/assess-test.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic, syntheticReading, testRequest } from "../../support/studios/synthetic-test.ts";

const options = { seed: Number(process.env["FC_SEED"] ?? 1), numRuns: 8 };

/** A printable coating, its noise, and a test that shows toe and shoulder. */
const arbitrary = fc.record({
  net: fc.double({ min: 1, max: 1.9, noNaN: true }),
  middle: fc.double({ min: 1.5, max: 2.5, noNaN: true }),
  rate: fc.double({ min: 3.5, max: 6, noNaN: true }),
  noiseSeed: fc.integer({ min: 1, max: 1e6 }),
});
type Case = { net: number; middle: number; rate: number; noiseSeed: number };

const stepsOf = (test: Case): CurveStep[] => {
  const random = seededRandom(test.noiseSeed);
  const density = logistic(test);
  const top = test.middle + 3.2 / test.rate + 0.3;
  return Array.from({ length: 21 }, (_, i) => {
    const logH = top - 0.15 * i;
    return {
      index: i + 1,
      logH,
      sigmaLogH: 0.02,
      density: density(logH) + 0.01 * random.normal(),
      sigma: 0.008,
      isFlagged: false,
    };
  });
};
const fit = (steps: readonly CurveStep[]) => fitCharacteristicCurve({ channel: "red", steps })!;

describe("laws of the fitted curve", () => {
  it("never falls, and its band holds it", () => {
    fc.assert(
      fc.property(arbitrary, (test) => {
        const { samples } = fit(stepsOf(test));
        const broken = samples.filter(
          (sample, i) =>
            (i > 0 && sample.density < samples[i - 1]!.density - 1e-9) ||
            sample.lower > sample.density ||
            sample.upper < sample.density,
        );
        expect(broken).toEqual([]);
      }),
      options,
    );
  });

  it("when every exposure is k times as long, moves by log k and in nothing else", () => {
    fc.assert(
      fc.property(arbitrary, fc.double({ min: 0.05, max: 40, noNaN: true }), (test, k) => {
        const steps = stepsOf(test);
        const before = fit(steps);
        const after = fit(steps.map((step) => ({ ...step, logH: step.logH + Math.log10(k) })));
        expect(after.points.shoulder!.logH).toBeCloseTo(before.points.shoulder!.logH + Math.log10(k), 4);
        expect(after.dMax).toBeCloseTo(before.dMax, 4);
        expect(after.logExposureRange!).toBeCloseTo(before.logExposureRange!, 4);
      }),
      options,
    );
  });

  it("when a constant is added to all densities, moves dMin and dMax only", () => {
    fc.assert(
      fc.property(arbitrary, fc.double({ min: -0.05, max: 0.3, noNaN: true }), (test, constant) => {
        const steps = stepsOf(test);
        const before = fit(steps);
        const after = fit(steps.map((step) => ({ ...step, density: step.density + constant })));
        expect(after.dMin).toBeCloseTo(before.dMin + constant, 4);
        expect(after.dMax).toBeCloseTo(before.dMax + constant, 4);
        expect(after.points.shoulder!.logH).toBeCloseTo(before.points.shoulder!.logH, 4);
        expect(after.points.toe!.logH).toBeCloseTo(before.points.toe!.logH, 4);
      }),
      options,
    );
  });

  it("does not depend on the order of the steps", () => {
    fc.assert(
      fc.property(arbitrary, (test) => {
        const steps = stepsOf(test);
        expect(fit([...steps].reverse()).samples).toEqual(fit(steps).samples);
      }),
      options,
    );
  });

  it("a strip and a film tablet with equal log exposures give one curve", () => {
    const random = seededRandom(3);
    const noise = Array.from({ length: 15 }, () => 0.01 * random.normal());
    const density = logistic({ net: 1.5, middle: 2, rate: 4.5 });
    const exposureSeconds = 1500;
    const densities = Array.from({ length: 15 }, (_, i) => 0.2 * i);
    const film = { kind: "transmission", densities, toleranceDensity: 0.004 } as const;
    const run = (tablet: Parameters<typeof testRequest>[0]["tablet"]) => {
      let i = 0;
      return assessTest({
        request: testRequest({ tablet, exposureSeconds }),
        reading: syntheticReading({ tablet, exposureSeconds, density, noise: () => noise[i++]! }),
        filmDensity: null,
      });
    };
    const fromFilm = run({ ...film, densities: [...densities] });
    const fromStrip = run({ kind: "timed", seconds: densities.map((d) => exposureSeconds / 10 ** d) });
    // Only the tolerances differ: a film's in density, a strip's in handling time.
    expect(fromStrip.curve!.points.shoulder!.logH).toBeCloseTo(fromFilm.curve!.points.shoulder!.logH, 2);
    expect(Math.abs(Math.log2(fromStrip.exposure.seconds! / fromFilm.exposure.seconds!))).toBeLessThan(0.03);
    expect(densityAt(fromStrip.curve!, 2)).toBeCloseTo(densityAt(fromFilm.curve!, 2), 1);
  });
});
