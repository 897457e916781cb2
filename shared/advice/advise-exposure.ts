// From the curve to the time: how long, how sure, and what a sensitometrist would say about the test.
import type { Channel, Curve, ExposureAdvice, Verdict } from "#shared/schema/curve.ts";
import { maxExposureSeconds } from "./longest-exposure.ts";
import { logHAtShare, shareAt } from "#shared/curve/curve-at.ts";
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
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
export function adviseExposure({ curve, terms }: { curve: Curve; terms: AdviceTerms }): ExposureAdvice {
  const steps = curve.steps.filter((step) => step.leftOut === null);
  const lowest = steps[0]!.logH;
  const highest = steps[steps.length - 1]!.logH;
  const { targetShare } = terms;
  const percent = Math.round(targetShare * 100);
  const shoulder = logHAtShare(curve, targetShare);
  const isReversed = curve.reversalFromLogH !== null;

  if (shareAt(curve, lowest) >= targetShare) {
    return testTooLong({
      terms,
      lowest,
      why: "Even the least exposed step is already past the shoulder, so the time lies before this test.",
    });
  }
  if (shoulder === null || (shareAt(curve, highest) < provenShare && !isReversed)) {
    const why =
      shoulder === null
        ? `The strip stops before the shoulder: no step has reached ${percent} % of the deepest blue, so the time lies beyond this test.`
        : "The darkest steps are still getting darker, so the deepest blue is not known yet and the time cannot be told.";
    return testTooShort({ terms, steps, channel: curve.channel, why, atLeast: Math.min(shoulder ?? highest, highest) });
  }

  const sigma = sigmaLogHAtShare(curve, targetShare);
  if (sigma === null)
    return advice(terms, "unreliable", [
      "The steps scatter so much that no time can be drawn from them. Coat a fresh sheet evenly, dry it flat and repeat the test.",
    ]);
  const half = studentT95(curve.degreesOfFreedom) * sigma;
  const range = {
    seconds: secondsAt(terms, shoulder),
    lowerSeconds: secondsAt(terms, shoulder - half),
    upperSeconds: secondsAt(terms, shoulder + half),
  };
  const reasons = [
    `${terms.filmDensity > 0 || terms.filmInTest ? "Clear film reaches" : "The bare coating reaches"} the shoulder, ${percent} % of the deepest blue, after ${plainTime(range.seconds)}; 95 times in 100 the true time lies between ${plainTime(range.lowerSeconds)} and ${plainTime(range.upperSeconds)}.`,
  ];
  if (curve.points.toe === null)
    reasons.push(
      "The densest step is not white yet, so the lightest tones and the exposure range of the coating are not in this test. The time does not depend on them.",
    );
  if (half > widestLogH) {
    reasons.push(
      `The range is ${stopsFromLogH(half).toFixed(1)} stops to either side, too wide to print by. Coat evenly, keep the light even and repeat the test, or pool it with a second one.`,
    );
    return advice(terms, "unreliable", reasons, range);
  }
  if (isReversed) {
    const seconds = nextSeconds(terms, shoulder);
    reasons.push(
      `Beyond the deepest blue the strip gets lighter again: it was over-exposed there, and those steps were left out. The time can still be told; a test of ${plainTime(seconds)} would show the shoulder better.`,
    );
    return advice(terms, "reversal", reasons, { ...range, nextTestSeconds: seconds });
  }
  reasons.push(
    "The range is about this print. Prints made alike commonly differ by about a tenth of a stop besides (common practice, no source): a second test, taken together with this one, shows by how much yours do.",
  );
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
}): ExposureAdvice {
  const why =
    "Hardly any blue has formed on the strip, so the time cannot be told yet; it needs far more light. First make sure that the coated side faced the lamp and that the lamp was on.";
  return testTooShort({ terms, steps, channel, why, atLeast: steps[steps.length - 1]!.logH });
}

/** Advice for a strip that is full blue from end to end. */
export function adviseOnSolid({ terms, steps }: { terms: AdviceTerms; steps: readonly PlainStep[] }): ExposureAdvice {
  return testTooLong({
    terms,
    lowest: steps[0]!.logH,
    why: "Every step has the same deep blue: even the darkest part of the tablet let too much light through.",
  });
}

/** An answer in which everything that is not given is null. */
export function advice(
  terms: Pick<AdviceTerms, "targetShare" | "filmDensity">,
  verdict: Verdict,
  reasons: readonly string[],
  rest: Partial<ExposureAdvice> = {},
): ExposureAdvice {
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
  why: string;
  atLeast: number;
}): ExposureAdvice {
  const shoulder = isBlank(steps)
    ? null
    : Math.max(probableShoulderLogH({ steps, channel, share: terms.targetShare }), atLeast);
  const probable = shoulder === null ? blankStripSeconds(terms) : nextSeconds(terms, shoulder);
  // A test that was too short is never followed by a shorter one.
  const seconds = probable > terms.testSeconds ? probable : roundedSeconds(terms.testSeconds * 1.5);
  const reasons =
    shoulder !== null && seconds > muchLonger * terms.testSeconds ? [whyLong(terms, shoulder, seconds)] : [];
  return advice(terms, "test-too-short", [why, again(terms, seconds), ...reasons], {
    nextTestSeconds: seconds,
    lowerSeconds: secondsAt(terms, atLeast),
  });
}

function testTooLong({ terms, lowest, why }: { terms: AdviceTerms; lowest: number; why: string }): ExposureAdvice {
  const seconds = nextSeconds(terms, shoulderBelow(lowest));
  return advice(terms, "test-too-long", [why, again(terms, seconds)], {
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
function whyLong(terms: AdviceTerms, shoulderLogH: number, seconds: number): string {
  const likely = plainTime(roundedSeconds(secondsAt(terms, shoulderLogH)));
  const shortest = plainTime(roundedSeconds(seconds * 10 ** -terms.spanLogH));
  const guess = `That is long on purpose and no time to print by: from so little blue the shoulder can only be guessed, at about ${likely}, give or take a factor of two.`;
  if (terms.tablet === "timed strip") return `${guess} The strip's shorter steps catch it if it comes sooner.`;
  return `${guess} A tablet loses nothing by it, since its steps then stand for every exposure from ${shortest} up, and one more test suffices. If the lamp is wanted elsewhere, a strip uncovered in steps that double up to that time tells the same.`;
}

function again({ tablet }: AdviceTerms, seconds: number): string {
  return tablet === "film"
    ? `Make the next test ${plainTime(seconds)} long.`
    : `Make the next strip with a longest step of ${plainTime(seconds)}, the others in the same proportion.`;
}
