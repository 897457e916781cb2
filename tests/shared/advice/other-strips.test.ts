import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import type { AdviceWithReasons } from "#shared/advice/advice-facts.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

// True shoulder of this coating: log H = middle + ln(9) / rate.
const coating = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const shoulderSeconds = 10 ** (2.2 + Math.log(9) / 4.5);

const noisy = (seed: number) => {
  const random = seededRandom(seed);
  return () => 0.008 * random.normal();
};
const codesOf = ({ reasons }: AdviceWithReasons) => reasons.map((reason) => reason.code);

describe("assessTest, of other strips", () => {
  it("for a strip of grey levels, draws no time from unknown film densities", () => {
    const tablet = { kind: "levels", levels: [0, 64, 128, 192, 255] } as const;
    const { curve, exposure } = assessTest({
      request: testRequest({ tablet: { ...tablet, levels: [...tablet.levels] }, exposureSeconds: 600 }),
      reading: syntheticReading({
        tablet: { ...tablet, levels: [...tablet.levels] },
        exposureSeconds: 600,
        density: coating,
      }),
      filmDensity: null,
    });
    expect(curve).toBeNull();
    expect(exposure.seconds).toBeNull();
    expect(codesOf(exposure)).toContain("tones-only");
  });

  it("on the visual scale, fits the visual densities", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200, channel: "visual" });
    const { curve } = assessTest({
      request,
      reading: syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating, noise: noisy(1) }),
      filmDensity: null,
    });
    expect(curve!.channel).toBe("visual");
    expect(curve!.dMax).toBeCloseTo(0.9, 1);
  });

  it("for a strip uncovered in steps, gives its time by the steps' own seconds, and says what it cannot know", () => {
    const seconds = [2400, 1700, 1200, 850, 600, 424, 300, 212, 150, 106, 75, 53];
    const tablet = { kind: "timed", seconds } as const;
    const request = testRequest({ tablet: { ...tablet, seconds: [...seconds] } });
    const { exposure, warnings } = assessTest({
      request,
      reading: syntheticReading({
        tablet: { ...tablet, seconds: [...seconds] },
        exposureSeconds: 1,
        density: coating,
        noise: noisy(8),
      }),
      filmDensity: null,
    });
    expect(exposure.verdict).toBe("ok");
    expect(Math.abs(Math.log2(exposure.seconds! / shoulderSeconds))).toBeLessThan(0.16);
    expect(warnings.map((warning) => warning.code)).toContain("reciprocity");
  });
});
