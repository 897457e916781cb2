import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { shoulderEvidence } from "#shared/advice/shoulder-evidence.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

// Gompertz' curve: half of the way from 90 % to the deepest blue takes 0.3 log H. Its shoulder in closed form.
const slow = (logH: number) => 1.5 * Math.exp(-Math.exp(-2.2 * (logH - 1.6)));
const shoulder = 1.6 - Math.log(-Math.log(0.9)) / 2.2;

const elevenSteps: typeof tablet21 = { kind: "transmission", steps: 11, increment: 0.3, firstDensity: 0.05 };

/** A strip whose clearest step lies so far beyond the shoulder [log H]. */
function strip(beyond: number, seed: number, tablet = tablet21) {
  const random = seededRandom(seed);
  const exposureSeconds = 10 ** (shoulder + 0.05 + beyond);
  const noise = () => 0.004 * random.normal();
  return assessTest({
    request: testRequest({ tablet, exposureSeconds }),
    reading: syntheticReading({ tablet, exposureSeconds, density: slow, noise }),
    filmDensity: null,
  });
}

describe("a slow shoulder, whose darkest steps still climb", () => {
  for (const seed of [1, 2]) {
    it(`in a strip that goes on far beyond it, is told within its range (${seed})`, () => {
      const { curve, exposure } = strip(0.45, seed);
      expect(shoulderEvidence(curve!.steps, 0.004).isClimbing).toBe(true);
      expect(exposure.verdict).toBe("ok");
      const error = Math.log10(exposure.seconds!) - shoulder;
      expect(Math.abs(stopsFromLogH(error))).toBeLessThan(0.25);
      expect(Math.log10(exposure.upperSeconds!)).toBeGreaterThan(shoulder);
    });

    it(`in a strip that barely reaches it, is no shoulder (${seed})`, () => {
      for (const beyond of [0.05, 0.15, 0.25]) {
        const { exposure } = strip(beyond, seed);
        expect(exposure.verdict).toBe("test-too-short");
        expect(exposure.seconds).toBeNull();
        expect(Math.log10(exposure.lowerSeconds!)).toBeLessThan(shoulder);
      }
    });
  }

  it("in a strip of a few wide steps, is not hidden by the curve's own bend between them", () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const { exposure } = strip(seed % 2 === 0 ? 0.2 : 0.3, seed, elevenSteps);
      expect(exposure.verdict).toBe("test-too-short");
      expect(Math.log10(exposure.lowerSeconds!)).toBeLessThan(shoulder);
    }
  });
});
