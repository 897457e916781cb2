// From the curve to the time: how long, how sure, and what a sensitometrist would say about the test.
import type { Channel, Curve, Verdict } from "#shared/schema/curve.ts";
import { logHAtShare, shareAt } from "#shared/curve/curve-at.ts";
import { stepScatter } from "#shared/curve/falling-shoulder.ts";
import { shareVariances, sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { AdviceReason, AdviceWithReasons } from "./advice-facts.ts";
import { depthLostWithin } from "./depth-lost.ts";
import { exposureRange, type ExposureRange } from "./exposure-range.ts";
import { isBlank, nextTests, nextTestSeconds, probableShoulderLogH, shoulderBelow } from "./next-test.ts";
import { maxExposureSeconds } from "#shared/limits.ts";
import { mostTelling, narrowings } from "./next-sheet.ts";
import { usualPrintSigmaLogH } from "./print-to-print.ts";
import { shoulderEvidence } from "./shoulder-evidence.ts";

/**
 * A range wider than this to either side (two thirds of a stop) is no advice: along a usual curve, a print by it could
 * lack a tenth of the depth.
 */
const widestLogH = 0.2;
/**
 * Where the most exposed steps still climb, the strip must go on for this long beyond the range's end: then the climb
 * is a slow shoulder's, which the range allows for. Found on simulated tests that barely reach the shoulder.
 */
const seenBeyondClimbLogH = 0.22;
/** Where the curve itself does not say, what a step reached is known to about this [log10]. */
const usualBoundSigmaLogH = 0.04;

/** What an advice is about, whatever the strip shows. */
export interface AdviceTerms {
  /** Share (0-1) of net D-max that clear film shall reach. */
  readonly targetShare: number;
  /** UV density of the clear film that the time is for; 0 for bare coating. */
  readonly filmDensity: number;
  /** Standard uncertainty of that density; 0 where the film lay in the test. */
  readonly filmSigma?: number;
  /** True when that film already lay over the coating during the test. */
  readonly filmInTest: boolean;
  /** Whole exposure of the test, or of the longest step [s]. */
  readonly testSeconds: number;
  readonly tablet: "film" | "timed strip";
  /** From the least to the most exposed step [log10]. */
  readonly spanLogH: number;
  /** The most exposed step [log10]. */
  readonly highestLogH: number;
  /** How well the whole tablet is known in this light; absent where none lay on the print. */
  readonly wholeTablet?: { readonly scaleSigmaShare: number; readonly baseSigmaDensity: number };
}

export interface PlainStep {
  readonly logH: number;
  readonly density: number;
  readonly sigma: number;
}

/**
 * Shortest exposure that carries clear film to the shoulder, its two 95 % ranges, and a verdict on the test. The
 * verdict is judged from the measured steps: where the most exposed ones still climb, and the strip hardly goes on
 * beyond the range, there is no shoulder and no time. Never extrapolated: where the shoulder, or the end of its range,
 * lies outside the steps, the time is null and the next test's time is given.
 * Source: Iso6846 for the shoulder; H = E t with the film's density added to log H.
 */
export function adviseExposure({ curve, terms }: { curve: Curve; terms: AdviceTerms }): AdviceWithReasons {
  const steps = curve.steps.filter((step) => step.leftOut === null);
  const lowest = steps[0]!.logH;
  const highest = steps[steps.length - 1]!.logH;
  const { targetShare } = terms;
  const shoulder = logHAtShare(curve, targetShare);
  const isReversed = curve.reversalFromLogH !== null;

  if (shareAt(curve, lowest) >= targetShare) return testTooLong({ terms, lowest, why: { code: "past-shoulder" } });
  const tooShort = (why: AdviceReason) =>
    testTooShort({ terms, steps, channel: curve.channel, why, atLeast: boundLogH(curve, terms) });
  const { isClimbing } = shoulderEvidence(steps, flatScatter(curve, steps));
  const mustSeeLogH = isClimbing && !isReversed ? seenBeyondClimbLogH : 0;
  if (shoulder === null)
    return tooShort(mustSeeLogH > 0 ? { code: "still-darkening" } : { code: "shoulder-beyond-strip", targetShare });
  const known = exposureRange({ curve, share: targetShare, filmSigma: terms.filmSigma ?? 0 });
  if (known === null) return advice(terms, "unreliable", [{ code: "steps-scatter" }]);
  // Where even its range's end lies beyond the steps, the deepest blue is a guess of the shapes.
  if (!isReversed && shoulder + known.halfLogH + mustSeeLogH > highest) return tooShort({ code: "still-darkening" });
  return withVerdict({ curve, terms, shoulder, known });
}

/**
 * How single steps scatter where the curve is nearly flat [density]. Among neighbours a few wide steps scatter by the
 * curve's own bend, and about a curve that is too stiff by its misfit: the smaller of the two is neither.
 */
function flatScatter({ residualDensity }: Curve, steps: Curve["steps"]): number {
  const amongNeighbours = stepScatter(steps.map((step) => ({ ...step, sigmaLogH: 0, isFlagged: false })));
  return Math.min(amongNeighbours, residualDensity);
}

/** A time with its ranges, and whether they are narrow enough to print by. */
function withVerdict({
  curve,
  terms,
  shoulder,
  known: { halfLogH: half, nextPrintHalfLogH: nextHalf, budget },
}: {
  curve: Curve;
  terms: AdviceTerms;
  shoulder: number;
  known: ExposureRange;
}): AdviceWithReasons {
  const { targetShare } = terms;
  const range = {
    seconds: secondsAt(terms, shoulder),
    lowerSeconds: secondsAt(terms, shoulder - half),
    upperSeconds: secondsAt(terms, shoulder + half),
    nextPrint: {
      lowerSeconds: secondsAt(terms, shoulder - nextHalf),
      upperSeconds: secondsAt(terms, shoulder + nextHalf),
    },
    budget,
  };
  const { seconds, lowerSeconds, upperSeconds, nextPrint } = range;
  const isThroughFilm = terms.filmDensity > 0 || terms.filmInTest;
  const reasons: AdviceReason[] = [{ code: "time", seconds, lowerSeconds, upperSeconds, targetShare, isThroughFilm }];
  if (curve.points.toe === null) reasons.push({ code: "no-white-step" });
  const depthLost = depthLostWithin(curve, { targetShare, shoulderLogH: shoulder, halfLogH: half });
  if (half > widestLogH && depthLost !== null)
    reasons.push({ code: "range-wide-but-flat", stops: stopsFromLogH(half), depthLost });
  else if (half > widestLogH) {
    reasons.push({ code: "range-too-wide", stops: stopsFromLogH(half) }, ...nextSheet(curve, terms, nextHalf));
    return advice(terms, "unreliable", reasons, range);
  }
  if (curve.reversalFromLogH !== null) {
    const nextSeconds = longEnough(terms, shoulder);
    reasons.push({ code: "over-exposed-end", nextTestSeconds: nextSeconds });
    return advice(terms, "reversal", reasons, { ...range, nextTestSeconds: nextSeconds });
  }
  reasons.push({ code: "one-print", ...nextPrint }, ...nextSheet(curve, terms, nextHalf));
  return advice(terms, "ok", reasons, range);
}

/** What would narrow the next print's range most, where anything would. */
function nextSheet(curve: Curve, terms: AdviceTerms, nextHalfLogH: number): AdviceReason[] {
  const { targetShare, filmSigma = 0, wholeTablet } = terms;
  const variances = Object.fromEntries(
    shareVariances(curve, targetShare).map(({ source, variance }) => [source, variance]),
  );
  const tabletDensity = Math.max(0, Math.log10(terms.testSeconds) - (logHAtShare(curve, targetShare) ?? 0));
  const [scale, base] = [(wholeTablet?.scaleSigmaShare ?? 0) * tabletDensity, wholeTablet?.baseSigmaDensity ?? 0];
  const best = mostTelling(
    narrowings({
      variances: { ...variances, "film-base": filmSigma ** 2 },
      printVariance: usualPrintSigmaLogH ** 2,
      tabletScaleShare: scale > 0 ? scale ** 2 / (scale ** 2 + base ** 2) : 0,
    }),
    { canCalibrate: wholeTablet !== undefined, canCoatWider: curve.coatingSlope === undefined },
  );
  if (best === null) return [];
  const stops = stopsFromLogH(nextHalfLogH);
  return [{ code: "next-sheet", what: best.what, stops, stopsThen: stops * best.widthShare }];
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
  const atLeast = steps[steps.length - 1]!.logH;
  return testTooShort({ terms, steps, channel, why: { code: "hardly-any-blue" }, atLeast });
}

/** Advice for a strip that is full blue from end to end. */
export function adviseOnSolid({
  terms,
  steps,
}: {
  terms: AdviceTerms;
  steps: readonly PlainStep[];
}): AdviceWithReasons {
  return testTooLong({ terms, lowest: steps[0]!.logH, why: { code: "all-full-blue" } });
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
    nextPrint: null,
    budget: [],
    depths: [],
    compromise: null,
    reasons,
    ...rest,
  };
}

/**
 * The time is longer than this, 97.5 times in 100: where the curve reaches the wanted share of what the most exposed
 * step reached, less its own uncertainty. The deepest blue can only be deeper than that step.
 */
function boundLogH(curve: Curve, { targetShare, filmSigma = 0 }: AdviceTerms): number {
  const shareSigmas = curve.reachedSigmas ?? [];
  const bound =
    (shareSigmas.length > 0 ? logHAtShare({ ...curve, shareSigmas }, targetShare) : null) ??
    logHAtShare({ samples: curve.samples, dMin: curve.dMin, dMax: curve.samples.at(-1)!.density }, targetShare) ??
    curve.samples[0]!.logH;
  const sigma = (shareSigmas.length > 0 ? sigmaLogHAtShare({ shareSigmas }, targetShare) : null) ?? usualBoundSigmaLogH;
  return bound - rangeSigmas * Math.hypot(sigma, filmSigma);
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
  const tests = nextTests({ ...terms, shoulderLogH: shoulder });
  const [first, sure] = tests;
  const reasons: AdviceReason[] = [why];
  if (shoulder !== null) {
    const seconds = secondsAt(terms, shoulder);
    reasons.push({ code: "guess", seconds, lowerSeconds: seconds / 2, upperSeconds: seconds * 2 });
  }
  reasons.push({ code: "next-test", tablet: terms.tablet, seconds: first!.seconds, chance: first!.chance });
  if (sure !== undefined)
    reasons.push({ code: "sure-test", tablet: terms.tablet, seconds: sure.seconds, chance: sure.chance });
  return advice(terms, "test-too-short", reasons, {
    nextTestSeconds: first!.seconds,
    nextTests: tests,
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
  const seconds = longEnough(terms, shoulderBelow(lowest));
  return advice(terms, "test-too-long", [why, { code: "next-test", tablet: terms.tablet, seconds, chance: null }], {
    nextTestSeconds: seconds,
    upperSeconds: secondsAt(terms, lowest),
  });
}

function longEnough(terms: AdviceTerms, shoulderLogH: number): number {
  return nextTestSeconds({
    shoulderLogH,
    highestLogH: terms.highestLogH,
    spanLogH: terms.spanLogH,
    seconds: terms.testSeconds,
    longest: maxExposureSeconds,
  });
}

/** Time that gives the clear film a log exposure [s]. */
export function secondsAt(
  { filmInTest, filmDensity }: Pick<AdviceTerms, "filmInTest" | "filmDensity">,
  logH: number,
): number {
  return 10 ** (logH + (filmInTest ? 0 : filmDensity));
}
