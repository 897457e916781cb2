// From the curve to the time: how long, how sure, and what a sensitometrist would say about the test.
import type { Curve, ExposureAdvice, Verdict } from "#shared/schema/curve.ts";
import { densityAt, logHAtShare } from "#shared/curve/curve-at.ts";
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { isBlank, nextTestSeconds, probableShoulderLogH, roundedSeconds, shoulderBelow } from "./next-test.ts";

/**
 * The curve must have reached this share of its net density inside the test before its maximum is believed;
 * below it, the maximum is a guess of the shape and the shoulder with it.
 */
const provenShare = 0.95;
/** A range wider than this to either side (half a stop) is no advice. */
const widestLogH = 0.15;
/** Steps that differ by less than this all show one tone. */
const oneToneDensity = 0.15;
const saturatedDensity = 0.4;
const longestTestSeconds = 864_000;

export interface AdviceInput {
  readonly curve: Curve;
  /** Share (0-1) of net D-max that clear film shall reach. */
  readonly targetShare: number;
  /** UV density of the clear film that the time is for; 0 for bare coating. */
  readonly filmDensity: number;
  /** True when that film already lay over the coating during the test. */
  readonly filmInTest: boolean;
  /** Whole exposure of the test, or of the longest step [s]. */
  readonly testSeconds: number;
  readonly tablet: "film" | "timed strip";
}

/**
 * Shortest exposure that carries clear film to the shoulder, its 95 % range, and a verdict on the test.
 * Never extrapolated: where the shoulder lies outside the steps the time is null and the next test's time is given.
 * Source: Iso6846 for the shoulder; H = E t with the film's density added to log H.
 */
export function adviseExposure(input: AdviceInput): ExposureAdvice {
  const { curve, targetShare, filmDensity, filmInTest } = input;
  const steps = curve.steps.filter((step) => step.leftOut === null);
  const lowest = steps[0]!.logH;
  const highest = steps[steps.length - 1]!.logH;
  const overall = curve.steps.map((step) => step.logH);
  const spanLogH = Math.max(...overall) - Math.min(...overall);
  const most = Math.max(...overall);
  const filmLogH = filmInTest ? 0 : filmDensity;
  const secondsAt = (logH: number) => 10 ** (logH + filmLogH);
  const percent = Math.round(targetShare * 100);
  const next = (shoulderLogH: number) => nextTestSeconds({ shoulderLogH, highestLogH: most, spanLogH, seconds: input.testSeconds, longest: longestTestSeconds });
  const answer = (verdict: Verdict, reasons: string[], rest: Partial<ExposureAdvice> = {}): ExposureAdvice => ({
    seconds: null,
    lowerSeconds: null,
    upperSeconds: null,
    targetShare,
    filmDensity,
    verdict,
    nextTestSeconds: null,
    reasons,
    ...rest,
  });
  const again = (seconds: number) => (input.tablet === "film" ? `Make the next test ${plainTime(seconds)} long.` : `Make the next strip with a longest step of ${plainTime(seconds)}, the others in the same proportion.`);

  const densities = steps.map((step) => step.density);
  const top = Math.max(...densities);
  if (top - Math.min(...densities) < oneToneDensity) {
    if (top < saturatedDensity) {
      const seconds = isBlank(steps) ? blankSeconds(input.testSeconds, spanLogH) : next(probableShoulderLogH({ steps, channel: curve.channel, share: targetShare }));
      return answer("test-too-short", ["Hardly any blue has formed on the strip, so the time cannot be told yet. It needs far more light.", "First make sure that the coated side faced the lamp and that the lamp was on.", again(seconds)], { nextTestSeconds: seconds, lowerSeconds: secondsAt(highest) });
    }
    const seconds = next(shoulderBelow(lowest));
    return answer("test-too-long", ["Every step is at the same deep blue: even the darkest part of the tablet let too much light through.", again(seconds)], { nextTestSeconds: seconds, upperSeconds: secondsAt(lowest) });
  }

  const shoulder = logHAtShare(curve, targetShare);
  const net = curve.dMax - curve.dMin;
  const topShare = (densityAt(curve, highest) - curve.dMin) / net;
  const isReversed = curve.reversalFromLogH !== null;
  if (shoulder === null || shoulder > highest || (topShare < provenShare && !isReversed)) {
    const seconds = next(Math.max(probableShoulderLogH({ steps, channel: curve.channel, share: targetShare }), highest - 0.1));
    const why = shoulder !== null && shoulder <= highest
      ? "The darkest steps are still getting darker, so the paper's deepest blue is not known yet and the time cannot be told."
      : `The strip stops before the shoulder: no step has reached ${percent} % of the deepest blue, so the time lies beyond this test.`;
    return answer("test-too-short", [why, again(seconds)], { nextTestSeconds: longerThan(seconds, input.testSeconds), lowerSeconds: secondsAt(Math.min(shoulder ?? highest, highest)) });
  }
  if (shoulder < lowest) {
    const seconds = next(Math.min(shoulder, lowest));
    return answer("test-too-long", ["Even the least exposed step is already past the shoulder, so the time lies before this test.", again(seconds)], { nextTestSeconds: seconds, upperSeconds: secondsAt(lowest) });
  }

  const half = studentT95(curve.degreesOfFreedom) * (sigmaLogHAtShare(curve, targetShare) ?? Number.POSITIVE_INFINITY);
  if (!(half < 1)) return answer("unreliable", ["The steps scatter so much that no time can be drawn from them. Coat a fresh sheet evenly, dry it flat and repeat the test."]);
  const range = { seconds: secondsAt(shoulder), lowerSeconds: secondsAt(shoulder - half), upperSeconds: secondsAt(shoulder + half) };
  const reasons = [`Clear film reaches the shoulder, ${percent} % of the deepest blue, after ${plainTime(range.seconds)}; 95 times in 100 the true time lies between ${plainTime(range.lowerSeconds)} and ${plainTime(range.upperSeconds)}.`];
  if (curve.points.toe === null) reasons.push("The densest step is not white yet, so the lightest tones and the exposure range of the coating are not in this test. The time does not depend on them.");
  if (half > widestLogH) {
    reasons.push(`The range is ${stopsFromLogH(half).toFixed(1)} stops to either side, too wide to print by. Coat evenly, keep the light even and repeat the test, or pool it with a second one.`);
    return answer("unreliable", reasons, range);
  }
  if (isReversed) {
    const seconds = next(shoulder);
    reasons.push("Beyond the deepest blue the strip gets lighter again: it was over-exposed there. Those steps were left out.");
    reasons.push(`The time can still be told; to see the shoulder better, ${again(seconds).replace("Make", "make")}`);
    return answer("reversal", reasons, { ...range, nextTestSeconds: seconds });
  }
  return answer("ok", reasons, range);
}

/** A blank strip tells nothing but "much longer": enough to cross a usual exposure range, no more than the tablet can catch. */
function blankSeconds(testSeconds: number, spanLogH: number): number {
  return roundedSeconds(Math.min(longestTestSeconds, testSeconds * 10 ** Math.min(1.8, Math.max(1, spanLogH - 0.6))));
}

/** A test that was too short is never followed by a shorter one. */
function longerThan(seconds: number, testSeconds: number): number {
  return seconds > testSeconds ? seconds : roundedSeconds(testSeconds * 1.5);
}
