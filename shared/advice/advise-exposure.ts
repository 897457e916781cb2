// From the curve to the time: how long, how sure, and what a sensitometrist would say about the test.
import type { Channel, Curve, Verdict } from "#shared/schema/curve.ts";
import { maxExposureSeconds } from "./longest-exposure.ts";
import { logHAtShare, shareAt } from "#shared/curve/curve-at.ts";
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { AdviceReason, AdviceWithReasons } from "./advice-facts.ts";
import {
  blankStripSeconds,
  isBlank,
  nextTestSeconds,
  probableShoulderLogH,
  roundedSeconds,
  shoulderBelow,
} from "./next-test.ts";

/**
 * The curve must have reached this share of its net density inside the test before its maximum is believed;
 * below it, the maximum is a guess of the shape and the shoulder with it. Chosen on simulated tests.
 */
const provenShare = 0.95;
/** A range wider than this to either side (half a stop) is no advice. */
const widestLogH = 0.15;

/** A next test more than so many times as long deserves a word. */
const muchLonger = 4;

/** What an advice is about, whatever the strip shows. */
export interface AdviceTerms {
  /** Share (0-1) of net D-max that clear film shall reach. */
  readonly targetShare: number;
  /** UV density of the clear film that the time is for; 0 for bare coating. */
  readonly filmDensity: number;
  /** True when that film already lay over the coating during the test. */
  readonly filmInTest: boolean;
  /** Whole exposure of the test, or of the longest step [s]. */
  readonly testSeconds: number;
  readonly tablet: "film" | "timed strip";
  /** From the least to the most exposed step [log10]. */
  readonly spanLogH: number;
  /** The most exposed step [log10]. */
  readonly highestLogH: number;
}

export interface PlainStep {
  readonly logH: number;
  readonly density: number;
  readonly sigma: number;
}

/**
 * Shortest exposure that carries clear film to the shoulder, its 95 % range, and a verdict on the test.
 * Never extrapolated: where the shoulder lies outside the steps the time is null and the next test's time is given.
 * Source: Iso6846 for the shoulder; H = E t with the film's density added to log H.
 */
export function adviseExposure({ curve, terms }: { curve: Curve; terms: AdviceTerms }): AdviceWithReasons {
  const steps = curve.steps.filter((step) => step.leftOut === null);
  const lowest = steps[0]!.logH;
  const highest = steps[steps.length - 1]!.logH;
  const { targetShare } = terms;
  const shoulder = logHAtShare(curve, targetShare);
  const isReversed = curve.reversalFromLogH !== null;

  if (shareAt(curve, lowest) >= targetShare) {
    return testTooLong({
      terms,
      lowest,
      why: { code: "past-shoulder" },
    });
  }
  if (shoulder === null || (shareAt(curve, highest) < provenShare && !isReversed)) {
    const why: AdviceReason =
      shoulder === null ? { code: "shoulder-beyond-strip", targetShare } : { code: "still-darkening" };
    return testTooShort({ terms, steps, channel: curve.channel, why, atLeast: Math.min(shoulder ?? highest, highest) });
  }

  const sigma = sigmaLogHAtShare(curve, targetShare);
  if (sigma === null) return advice(terms, "unreliable", [{ code: "steps-scatter" }]);
  const half = studentT95(curve.degreesOfFreedom) * sigma;
  const range = {
    seconds: secondsAt(terms, shoulder),
    lowerSeconds: secondsAt(terms, shoulder - half),
    upperSeconds: secondsAt(terms, shoulder + half),
  };
  const reasons: AdviceReason[] = [
    { code: "time", ...range, targetShare, isThroughFilm: terms.filmDensity > 0 || terms.filmInTest },
  ];
  if (curve.points.toe === null) reasons.push({ code: "no-white-step" });
  if (half > widestLogH) {
    reasons.push({ code: "range-too-wide", stops: stopsFromLogH(half) });
    return advice(terms, "unreliable", reasons, range);
  }
  if (isReversed) {
    const seconds = nextSeconds(terms, shoulder);
    reasons.push({ code: "over-exposed-end", nextTestSeconds: seconds });
    return advice(terms, "reversal", reasons, { ...range, nextTestSeconds: seconds });
  }
  reasons.push({ code: "one-print" });
  return advice(terms, "ok", reasons, range);
}

/** Advice for a strip that shows hardly any blue. */
export function adviseOnBlank({
  terms,
  steps,
  channel,
}: {
  terms: AdviceTerms;
  steps: readonly PlainStep[];
  channel: Channel;
}): AdviceWithReasons {
  return testTooShort({
    terms,
    steps,
    channel,
    why: { code: "hardly-any-blue" },
    atLeast: steps[steps.length - 1]!.logH,
  });
}

/** Advice for a strip that is full blue from end to end. */
export function adviseOnSolid({
  terms,
  steps,
}: {
  terms: AdviceTerms;
  steps: readonly PlainStep[];
}): AdviceWithReasons {
  return testTooLong({
    terms,
    lowest: steps[0]!.logH,
    why: { code: "all-full-blue" },
  });
}

/** An answer in which everything that is not given is null. */
export function advice(
  terms: Pick<AdviceTerms, "targetShare" | "filmDensity">,
  verdict: Verdict,
  reasons: readonly AdviceReason[],
  rest: Partial<AdviceWithReasons> = {},
): AdviceWithReasons {
  return {
    seconds: null,
    lowerSeconds: null,
    upperSeconds: null,
    targetShare: terms.targetShare,
    filmDensity: terms.filmDensity,
    verdict,
    nextTestSeconds: null,
    reasons,
    ...rest,
  };
}

function testTooShort({
  terms,
  steps,
  channel,
  why,
  atLeast,
}: {
  terms: AdviceTerms;
  steps: readonly PlainStep[];
  channel: Channel;
  why: AdviceReason;
  atLeast: number;
}): AdviceWithReasons {
  const shoulder = isBlank(steps)
    ? null
    : Math.max(probableShoulderLogH({ steps, channel, share: terms.targetShare }), atLeast);
  const probable = shoulder === null ? blankStripSeconds(terms) : nextSeconds(terms, shoulder);
  // A test that was too short is never followed by a shorter one.
  const seconds = probable > terms.testSeconds ? probable : roundedSeconds(terms.testSeconds * 1.5);
  const isMuchLonger = shoulder !== null && seconds > muchLonger * terms.testSeconds;
  const reasons = isMuchLonger ? [longNextTest(terms, shoulder, seconds)] : [];
  return advice(terms, "test-too-short", [why, nextTest(terms, seconds), ...reasons], {
    nextTestSeconds: seconds,
    lowerSeconds: secondsAt(terms, atLeast),
  });
}

function testTooLong({
  terms,
  lowest,
  why,
}: {
  terms: AdviceTerms;
  lowest: number;
  why: AdviceReason;
}): AdviceWithReasons {
  const seconds = nextSeconds(terms, shoulderBelow(lowest));
  return advice(terms, "test-too-long", [why, nextTest(terms, seconds)], {
    nextTestSeconds: seconds,
    upperSeconds: secondsAt(terms, lowest),
  });
}

function nextSeconds(terms: AdviceTerms, shoulderLogH: number): number {
  return nextTestSeconds({
    shoulderLogH,
    highestLogH: terms.highestLogH,
    spanLogH: terms.spanLogH,
    seconds: terms.testSeconds,
    longest: maxExposureSeconds,
  });
}

function secondsAt({ filmInTest, filmDensity }: AdviceTerms, logH: number): number {
  return 10 ** (logH + (filmInTest ? 0 : filmDensity));
}

/**
 * Why the next test is so long. Over simulated tests that were too short the guess of the shoulder lies within a factor of two of
 * the truth in nine cases of ten, and a test shorter than this one misses the deepest blue too often.
 */
function longNextTest(terms: AdviceTerms, shoulderLogH: number, seconds: number): AdviceReason {
  return {
    code: "long-next-test",
    tablet: terms.tablet,
    likelySeconds: roundedSeconds(secondsAt(terms, shoulderLogH)),
    shortestSeconds: roundedSeconds(seconds * 10 ** -terms.spanLogH),
  };
}

function nextTest({ tablet }: AdviceTerms, seconds: number): AdviceReason {
  return { code: "next-test", tablet, seconds };
}
