import { describe, expect, it } from "vitest";
import { adviseExposure } from "#shared/advice/advise-exposure.ts";
import type { Curve } from "#shared/schema/curve.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";

const net = 1.5;
const shoulderLogH = 2;

/**
 * A logistic curve from paper to D-max 1.5 whose 90 % point lies at log H 2, known to a range of this half width.
 * @param rate e-folds of the odds per log H
 */
function curveOf({ rate, halfLogH, highest }: { rate: number; halfLogH: number; highest: number }): Curve {
  const density = (logH: number) => net / (1 + Math.exp(-rate * (logH - shoulderLogH)) / 9);
  const lowest = shoulderLogH - 3;
  const along = (count: number) =>
    Array.from({ length: count }, (_, i) => lowest + ((highest - lowest) * i) / (count - 1));
  return {
    channel: "red",
    family: "symmetric-sigmoid",
    dMin: 0,
    dMax: net,
    points: { toe: { logH: lowest, density: 0.04 }, mid: null, shoulder: null },
    logExposureRange: null,
    averageGradient: null,
    samples: along(161).map((logH) => ({
      logH,
      density: density(logH),
      lower: density(logH) - 0.01,
      upper: density(logH) + 0.01,
    })),
    steps: along(31).map((logH, i) => ({
      index: i + 1,
      logH,
      density: density(logH),
      sigma: 0.006,
      leftOut: null,
    })),
    sigmaLogH: { toe: null, shoulder: null },
    shareSigmas: [{ share: 0.9, sigmaLogH: halfLogH / 1.96 }],
    parameters: [],
    covariance: [],
    residualDensity: 0.006,
    degreesOfFreedom: 10_000,
    reversalFromLogH: null,
  };
}

const advised = (about: Parameters<typeof curveOf>[0]) =>
  adviseExposure({
    curve: curveOf(about),
    terms: {
      targetShare: 0.9,
      filmDensity: 0,
      filmInTest: false,
      testSeconds: 10 ** about.highest,
      tablet: "film",
      spanLogH: about.highest - shoulderLogH + 3,
      highestLogH: about.highest,
    },
  });

describe("a range of more than two thirds of a stop", () => {
  it("where the curve is flat, is good to print by, and says what may be lacking", () => {
    const { verdict, reasons } = advised({ rate: 2.4, halfLogH: 0.27, highest: 4 });
    expect(verdict).toBe("ok");
    const said = reasons.find(({ code }) => code === "range-wide-but-flat");
    // Closed form: odds of 9 at the shoulder, e^(2.4 x 0.27) times fewer a range's half before it.
    const odds = 9 * Math.exp(-2.4 * 0.27);
    expect(said).toMatchObject({ stops: expect.closeTo(stopsFromLogH(0.27), 2) as number });
    expect(said).toMatchObject({ depthLost: expect.closeTo(0.9 - odds / (1 + odds), 2) as number });
  });
  it("where the curve is steep, is none", () => {
    const { verdict, reasons } = advised({ rate: 6, halfLogH: 0.27, highest: 4 });
    expect(verdict).toBe("unreliable");
    expect(reasons.some(({ code }) => code === "range-too-wide")).toBe(true);
  });
  it("of more than a stop, is none however flat the curve", () => {
    expect(advised({ rate: 1.6, halfLogH: 0.32, highest: 6 }).verdict).toBe("unreliable");
  });
  it("where the strip hardly goes on beyond it, is none", () => {
    expect(advised({ rate: 2.4, halfLogH: 0.27, highest: 2.35 }).verdict).not.toBe("ok");
  });
});

describe("a range of less than two thirds of a stop", () => {
  it("is good to print by, as steep as the curve may be", () => {
    const { verdict, reasons } = advised({ rate: 8, halfLogH: 0.19, highest: 4 });
    expect(verdict).toBe("ok");
    expect(reasons.some(({ code }) => code === "range-wide-but-flat")).toBe(false);
  });
});
