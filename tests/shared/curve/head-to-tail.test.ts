import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { coatingSizes, sizesGivenSlopes } from "#shared/curve/coating-sizes.ts";
import { coatingSlope, readTogether } from "#shared/curve/head-to-tail.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const exposureSeconds = 1200;

/** A strip on a sheet whose coating grows by a share from its middle to the right end. */
function strip({
  slope,
  isTurned,
  seed = 0,
  seconds = exposureSeconds,
}: {
  slope: number;
  isTurned: boolean;
  seed?: number;
  seconds?: number;
}): Reading {
  const random = seededRandom(seed + 1);
  const noise = () => (seed === 0 ? 0 : 0.006 * random.normal());
  const reading = syntheticReading({ tablet: tablet21, exposureSeconds: seconds, density, noise });
  const last = reading.steps.length - 1;
  return {
    ...reading,
    steps: reading.steps.map((step, i) => {
      const place = ((2 * i) / last - 1) * (isTurned ? -1 : 1);
      return { ...step, red: step.red * (1 + slope * place), visual: step.visual * (1 + slope * place) };
    }),
  };
}

const together = (slope: number, seed = 0) =>
  assessTest({
    request: testRequest({ tablet: tablet21, exposureSeconds }),
    reading: strip({ slope, isTurned: false, seed }),
    turnedSteps: strip({ slope, isTurned: true, seed: seed === 0 ? 0 : seed + 100 }).steps,
    filmDensity: null,
  });
const alone = (slope: number, seed = 0) =>
  assessTest({
    request: testRequest({ tablet: tablet21, exposureSeconds }),
    reading: strip({ slope, isTurned: false, seed }),
    filmDensity: null,
  });

describe("two strips head to tail on one sheet", () => {
  it("without noise, show the coating's slope exactly, and their mean has none", () => {
    const [one, other] = [strip({ slope: 0.03, isTurned: false }), strip({ slope: 0.03, isTurned: true })];
    expect(coatingSlope(one.steps, other.steps, "red")!.share).toBeCloseTo(0.03, 10);
    const even = strip({ slope: 0, isTurned: false });
    readTogether(one.steps, other.steps).forEach((step, i) => expect(step.red).toBeCloseTo(even.steps[i]!.red, 12));
  });

  it("give one time whichever way the coating slopes, where one strip alone gives another", () => {
    const [up, down] = [0.03, -0.03].map((slope) => together(slope).exposure.seconds!);
    expect(Math.abs(Math.log2(up! / down!))).toBeLessThan(1e-6);
    const [aloneUp, aloneDown] = [0.03, -0.03].map((slope) => alone(slope).exposure.seconds!);
    expect(Math.abs(Math.log2(aloneUp! / aloneDown!))).toBeGreaterThan(0.02);
  });

  it("give a narrower range than one strip, keep the slope with the curve, and say what they cancelled", () => {
    const half = ({ exposure }: ReturnType<typeof alone>) =>
      Math.log2(exposure.upperSeconds! / exposure.lowerSeconds!) / 2;
    const both = together(0.02, 5);
    expect(half(both)).toBeLessThan(half(alone(0.02, 5)));
    expect(Math.abs(both.curve!.coatingSlope!.share - 0.02)).toBeLessThan(3 * both.curve!.coatingSlope!.sigmaShare);
    expect(both.exposure.reasons.map(({ code }) => code)).toContain("head-to-tail");
  });

  it("leave out a step that is missing or flagged in either", () => {
    const [one, other] = [strip({ slope: 0, isTurned: false }), strip({ slope: 0, isTurned: true })];
    const spotted = other.steps.map((step) => (step.index === 4 ? { ...step, flags: ["uneven"] } : step));
    const read = readTogether(one.steps, spotted.slice(0, 20));
    expect(read[3]!.flags).toEqual(["uneven"]);
    expect(read[20]!.flags).toContain("left-out");
  });

  it("with hardly any dense steps, show no slope", () => {
    const pale = strip({ slope: 0.03, isTurned: false }).steps.slice(-6);
    expect(coatingSlope(pale, pale, "red")).toBeNull();
  });
});

describe("how uneven a studio's coatings are", () => {
  const common = (slopes: readonly number[]) =>
    sizesGivenSlopes(
      slopes.map((share) => ({ share, sigmaShare: 0.002 })),
      0.012,
    ).map((each) => each.common);

  it("with no sheet to go by, is what is usual", () => {
    common([]).forEach((share, i) => expect(share).toBeCloseTo(coatingSizes[i]!.common, 12));
  });

  it("after three even sheets, is very likely even; after three steep ones, uneven", () => {
    expect(common([0.001, -0.002, 0.002])[0]).toBeGreaterThan(0.8);
    expect(common([0.035, -0.03, 0.04])[2]).toBeGreaterThan(0.9);
  });

  it("makes ranges narrower after even sheets and wider after steep ones", () => {
    // Long enough for a time even where steep coatings leave much in doubt.
    const seconds = 1.5 * exposureSeconds;
    const half = (slopes: readonly number[]) => {
      const { exposure } = assessTest({
        request: testRequest({ tablet: tablet21, exposureSeconds: seconds }),
        reading: strip({ slope: 0, isTurned: false, seed: 3, seconds }),
        earlierSlopes: slopes.map((share) => ({ share, sigmaShare: 0.002 })),
        filmDensity: null,
      });
      return Math.log2(exposure.upperSeconds! / exposure.lowerSeconds!);
    };
    expect(half([0.001, -0.002, 0.002])).toBeLessThan(half([]));
    expect(half([0.035, -0.03, 0.04])).toBeGreaterThan(half([]));
  });
});
