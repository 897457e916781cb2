// Where the shoulder lies is guessed from tests that were too short; the words beside the next time say how well.
import { describe, expect, it } from "vitest";
import { probableShoulderLogH } from "#shared/advice/next-test.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import {
  shapeNames,
  simulatedCoating,
  simulatedSteps,
  tabletPlans,
  trueLogHAtShare,
} from "../../bench/studio/simulated-tests.ts";

describe("probableShoulderLogH", () => {
  it("from tests that were too short, lies within a factor of two in nine of ten, fair on the whole", () => {
    const errors = Array.from({ length: 140 }, (_, i) => {
      const random = seededRandom(2000 + i);
      const coating = simulatedCoating(random, shapeNames[i % shapeNames.length]!);
      const shoulder = trueLogHAtShare(coating, 0.9);
      const logSeconds = shoulder + 0.15 - 1.6 * random.uniform();
      const steps = simulatedSteps({
        random,
        coating,
        plan: tabletPlans[0]!,
        logSeconds,
        scatter: { independent: 0.008, wave: 0.006, memory: 0.6 },
        sigma: 0.006,
      }).sort((a, b) => a.logH - b.logH);
      return probableShoulderLogH({ steps, channel: "red", share: 0.9 }) - shoulder;
    }).sort((a, b) => a - b);
    expect(errors.filter((error) => Math.abs(error) <= Math.log10(2)).length / errors.length).toBeGreaterThan(0.87);
    expect(Math.abs(errors[70]!)).toBeLessThan(0.08);
  });
});
