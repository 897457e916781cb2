// The time of a combination under the sun: of its newest test alone.
import { usualPrintScatter } from "#shared/studio-model/usual-print-scatter.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { CarriedTest } from "./carried-tests.ts";
import type { Answer } from "./lookup-answer.ts";
import { namedTest } from "./lookup-facts.ts";
import type { WantedCombination } from "./lookup-input.ts";

/**
 * The newest test alone: seconds of different suns are not taken together.
 * @param used tests of the combination, newest first
 * @throws RangeError without a test
 */
export function timeUnderTheSun(used: readonly CarriedTest[], { film }: WantedCombination): Answer {
  const [newest] = used;
  if (newest === undefined) throw new RangeError("timeUnderTheSun needs a test.");
  const { test, changes } = newest;
  const time = (test.shoulderLogH ?? 0) + (test.filmInTest ? 0 : (film?.baseDensity ?? 0));
  const filmSigma = test.filmInTest ? 0 : (film?.baseSigmaDensity ?? 0);
  const half = rangeSigmas * Math.hypot(test.sigmaLogH ?? 0, filmSigma, usualPrintScatter.medianLogH);
  const next = Math.hypot(half, rangeSigmas * usualPrintScatter.medianLogH);
  return {
    source: changes.length === 0 ? "tested" : "transferred",
    estimate: {
      calibration: { logSeconds: time, lower: time - half, upper: time + half },
      nextPrint: { logSeconds: time, lower: time - next, upper: time + next },
    },
    provenance: [
      { code: "one-test", test: namedTest(test) },
      ...changes,
      ...(used.length > 1 ? [{ code: "other-suns", tests: used.length - 1 } as const] : []),
    ],
    testIds: [test.id],
    verdict: test.verdict,
    warnings: [],
  };
}
