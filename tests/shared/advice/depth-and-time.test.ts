import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { compromiseTime } from "#shared/film/compromise-time.ts";
import { lightnessByDensity } from "#shared/advice/lightness-by-density.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

// A logistic in density: the log exposure of a share is middle + ln(share / (1 - share)) / rate, by hand.
const [net, middle, rate] = [1.5, 2.2, 4.5];
const coating = logistic({ net, middle, rate });
const secondsOf = (share: number) => 10 ** (middle + Math.log(share / (1 - share)) / rate);
// The synthetic reading makes visual density 0.6 times the red one.
const visualNet = 0.6 * net;
const exposureSeconds = 4000;
const request = testRequest({ tablet: tablet21, exposureSeconds });
const reading = syntheticReading({ tablet: tablet21, exposureSeconds, density: coating });
const visual = { ...request, channel: "visual" } as const;

describe("depth and time", () => {
  const { exposure, curve } = assessTest({ request: visual, reading, filmDensity: null });

  it.each([0.9, 0.95, 0.97, 0.99])("gives the seconds for %f of the depth, with a range that holds them", (share) => {
    const row = exposure.depths!.find((each) => each.kind === "share" && each.share === share)!;
    expect(Math.abs(Math.log2(row.seconds! / secondsOf(share)))).toBeLessThan(0.08);
    expect(row.lowerSeconds!).toBeLessThan(secondsOf(share));
    expect(row.upperSeconds!).toBeGreaterThan(secondsOf(share));
  });

  it("says what each falls short in L*, as CIE 1976 lightness gives it", () => {
    const row = exposure.depths!.find((each) => each.share === 0.9)!;
    const expected = lightnessFromLuminance(10 ** (-0.9 * visualNet)) - lightnessFromLuminance(10 ** -visualNet);
    expect(Math.abs(row.lightnessMissing - expected)).toBeLessThan(0.25);
  });

  it("finds the depth beyond which the eye sees no deeper blue, within 1 L* of the maximum", () => {
    const row = exposure.depths!.find((each) => each.kind === "no-deeper-to-the-eye")!;
    expect(row.lightnessMissing).toBeCloseTo(1, 2);
    expect(row.seconds!).toBeGreaterThan(exposure.seconds!);
  });

  it("rises with depth", () => {
    const seconds = exposure.depths!.map((row) => row.seconds!);
    expect([...seconds].sort((a, b) => a - b)).toEqual(seconds);
  });

  it("counts in steps: stops shorter than the test, and the step that becomes the deepest", () => {
    const line = exposure.reasons.find((reason) => reason.code === "in-steps")!;
    // The shoulder lies at log H 2.688; the clear step got log10(4000) - 0.05 = 3.552, 5.8 steps of 0.15 more.
    expect(line).toMatchObject({ deepestStep: 7 });
    expect(line.code === "in-steps" && line.stopsShorter).toBeCloseTo(
      Math.log2(exposureSeconds / exposure.seconds!),
      6,
    );
  });

  it("for an uncorrected negative of short range, loses equally at both ends", () => {
    const lightness = lightnessByDensity(reading.steps, "visual");
    const found = compromiseTime({ curve: curve!, baseDensity: 0.1, maxDensity: 0.8, lightness })!;
    expect(found.darkLightnessLost).toBeCloseTo(found.lightLightnessLost, 4);
    // By hand from the true curve at the time found.
    const clear = Math.log10(found.seconds) - 0.1;
    const dark = lightnessFromLuminance(10 ** (-0.6 * coating(clear))) - lightnessFromLuminance(10 ** -visualNet);
    expect(Math.abs(dark - found.darkLightnessLost)).toBeLessThan(1);
    expect(found.seconds).toBeLessThan(exposure.seconds! * 10 ** 0.1);
  });
});
