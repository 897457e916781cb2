import { describe, expect, it } from "vitest";
import { nextPrintSigmaLogH } from "#shared/advice/print-to-print.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { usualPrintScatter } from "#shared/studio-model/usual-print-scatter.ts";

/** A calibration of one print is good to about this [log10]. */
const calibration = 0.03;
const half = 1.96 * Math.hypot(calibration, nextPrintSigmaLogH);

function heldShare(scatterOf: () => number): number {
  const random = seededRandom(3);
  const draws = 20_000;
  let held = 0;
  for (let i = 0; i < draws; i++) {
    const scatter = scatterOf();
    const error = calibration * random.normal() + scatter * (random.normal() - random.normal());
    if (Math.abs(error) < half) held++;
  }
  return held / draws;
}

describe("the next print after a single test", () => {
  it.each([
    [0.01, 0.99],
    [0.03, 0.97],
    [0.04, 0.94],
    [0.05, 0.88],
  ])("at a scatter of %s is held at least %s of the time", (scatter, least) => {
    expect(heldShare(() => scatter)).toBeGreaterThan(least);
  });
  it("is held 91 to 95 times in 100 over all studios as they usually are", () => {
    const studios = seededRandom(4);
    const share = heldShare(
      () => usualPrintScatter.medianLogH * Math.exp(usualPrintScatter.logSigma * studios.normal()),
    );
    expect(share).toBeGreaterThan(0.91);
    expect(share).toBeLessThan(0.95);
  });
});
