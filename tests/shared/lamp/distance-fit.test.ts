import { linearRegression } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { distanceFit, secondsAtDistance } from "#shared/lamp/distance-fit.ts";
import { tubeAt } from "#shared/lamp/lamp-geometry.ts";

const timesAt = (distancesMm: readonly number[], offsetMm: number) =>
  distancesMm.map((distanceMm) => ({ distanceMm, logSeconds: 2 * Math.log10((distanceMm + offsetMm) / 20) }));

describe("distanceFit", () => {
  it("finds the offset of a lamp from times at three distances", () => {
    const fit = distanceFit(timesAt([200, 300, 500], 120))!;
    expect(fit.offsetMm).toBeCloseTo(120, 6);
    expect(fit.worstMissPercent).toBeCloseTo(0, 9);
    expect(secondsAtDistance(fit, 380)).toBeCloseTo((500 / 20) ** 2, 6);
  });

  it("agrees with another package's straight line on times that scatter", () => {
    const tests = timesAt([150, 200, 300, 300, 450], 60).map((test, i) => ({
      ...test,
      logSeconds: test.logSeconds + [0.02, -0.03, 0.01, 0.03, -0.02][i]!,
    }));
    const { m, b } = linearRegression(tests.map((test) => [test.distanceMm, 10 ** (test.logSeconds / 2)]));
    const fit = distanceFit(tests)!;
    expect(fit.rootSlope).toBeCloseTo(m, 12);
    expect(fit.offsetMm).toBeCloseTo(b / m, 8);
    expect(fit.worstMissPercent).toBeGreaterThan(1);
  });

  it("under a long tube, where the light falls slower, misses by more than a scatter of a few percent", () => {
    // 1 m tube from 50 to 1000 mm: between one over the distance and inverse square, so that no offset fits both ends.
    const tests = [50, 200, 500, 1000].map((distanceMm) => ({
      distanceMm,
      logSeconds: 4 - Math.log10(tubeAt({ length: 1000, distance: distanceMm, x: 0, z: 0 })),
    }));
    expect(distanceFit(tests)?.worstMissPercent).toBeGreaterThan(10);
  });

  it("with two distances has nothing to judge by; with one, or falling times, gives nothing", () => {
    expect(distanceFit(timesAt([200, 400], 0))).toMatchObject({ distances: 2, worstMissPercent: null });
    expect(distanceFit(timesAt([200, 200], 0))).toBeNull();
    expect(
      distanceFit([
        { distanceMm: 200, logSeconds: 3 },
        { distanceMm: 400, logSeconds: 2 },
      ]),
    ).toBeNull();
  });
});
