// One reading and the way it was exposed, turned into curve, advice and warnings.
import type { Curve } from "#shared/schema/curve.ts";
import type { Reading, ReadingStep } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { usualFilmSigma } from "#shared/film/film-in-light.ts";
import { fewestUsableSteps, fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { longestSeconds, stepLogH } from "#shared/tablet/log-exposure.ts";
import type { CoatingShown } from "#shared/curve/coating-beside.ts";
import { coatingSlope, readTogether, type CoatingSlope } from "#shared/curve/head-to-tail.ts";
import { stepToleranceLogH, wholeTabletSigmas } from "#shared/tablet/tolerance.ts";
import type { AdviceWarning, AdviceWithReasons, TestAssessment } from "./advice-facts.ts";
import { adviseFromCurve } from "./advise-from-curve.ts";
import { advice, adviseOnBlank, adviseOnSolid, type AdviceTerms } from "./advise-exposure.ts";
import { coatingShown, errorsOfTest, toldEvenness, type CoatingEvenness } from "./errors-of-test.ts";
import { stripState } from "./one-tone.ts";

/** Flags of a reading that make a step's density worthless for the curve. */
const distrustedFlags: readonly string[] = ["left-out", "crushed", "out-of-gamut", "clipped"];

export interface AssessTestInput {
  readonly request: TestRequest;
  readonly reading: Pick<Reading, "steps" | "camera" | "coatingBeside"> & {
    readonly warnings?: readonly { readonly code: string }[];
  };
  /** UV density of the clear film that the time shall be for; null when it is not known or no film was chosen. */
  readonly filmDensity: number | null;
  /** Standard uncertainty of that density; what is usual of a measured film base when absent. */
  readonly filmSigma?: number;
  /**
   * UV density of the densest black that the device prints on that film, base included; null or absent when not known.
   */
  readonly filmMaxDensity?: number | null;
  /** How uneven this studio's coatings are along a strip, where that is known; what is usual when absent. */
  readonly coatingEvenness?: CoatingEvenness;
  /** Steps of the strip that lay head to tail with this one on the same sheet; both are then read together. */
  readonly turnedSteps?: readonly ReadingStep[];
  /** Slopes that earlier sheets of the same coating showed, head to tail. */
  readonly earlierSlopes?: readonly CoatingSlope[];
}

/**
 * Curve, advice and warnings of one test.
 * @returns `curve` null where the log exposure of the steps is not known, or too few of them are usable
 */
export function assessTest({
  request,
  reading: single,
  filmDensity,
  filmSigma = usualFilmSigma,
  filmMaxDensity,
  coatingEvenness = toldEvenness(request),
  turnedSteps,
  earlierSlopes = [],
}: AssessTestInput): TestAssessment {
  const { tablet, channel } = request;
  const { reading, slope } = sheetOf(single, turnedSteps, channel);
  const testSeconds = longestSeconds(tablet, request.exposureSeconds);
  const isOnFilm = tablet.kind === "levels" || tablet.kind === "sheet";
  if (testSeconds === null || isOnFilm) {
    return { curve: null, exposure: withoutLogH(request, filmDensity), warnings: printWarnings(request) };
  }
  const filmInTest = isFilmInTest(request);
  const warnings = [...printWarnings(request), ...setUpWarnings(request, { filmInTest, filmDensity })];
  const steps = reading.steps
    .map((step, i) => curveStep(step, i, { request, count: reading.steps.length }))
    .sort((a, b) => a.logH - b.logH);
  const usable = steps.filter((step) => !step.isFlagged);
  const terms = termsOf({ request, steps, testSeconds, filmDensity, filmSigma });
  if (usable.length < fewestUsableSteps) {
    return {
      curve: null,
      exposure: advice(terms, "unreliable", [{ code: "too-few-good-steps", needed: fewestUsableSteps }]),
      warnings: [...warnings, { code: "too-few-steps", usable: usable.length, of: steps.length }],
    };
  }
  switch (stripState(usable)) {
    case "hardly-any-blue":
      return { curve: null, exposure: adviseOnBlank({ terms, steps: usable, channel }), warnings };
    case "all-full-blue":
      return { curve: null, exposure: adviseOnSolid({ terms, steps: usable }), warnings };
    case "wrong-way-round":
      return {
        curve: null,
        exposure: advice(terms, "unreliable", [{ code: "read-from-wrong-end" }]),
        warnings: [...warnings, ...reversedWarnings(single)],
      };
    case "tones":
  }
  const { coatingSlope: own } = slope;
  const sheet = {
    request,
    reading,
    usable,
    coatingEvenness,
    slopes: own === undefined ? earlierSlopes : [own, ...earlierSlopes],
    isPaired: turnedSteps !== undefined,
  };
  const beside = coatingShown(sheet);
  const errors = errorsOfTest(sheet, beside);
  const fitted = fitCharacteristicCurve({ channel, steps, errors });
  if (fitted === null) {
    return {
      curve: fitted,
      exposure: advice(terms, "unreliable", [{ code: "no-rising-curve" }]),
      warnings: [...warnings, { code: "no-curve" }],
    };
  }
  const curve = { ...fitted, ...slope, ...slopeBeside(beside) };
  const told = adviseFromCurve({
    curve,
    terms,
    steps: reading.steps,
    filmDensity,
    filmMaxDensity: filmMaxDensity ?? null,
  });
  return { curve, exposure: told.exposure, warnings: [...warnings, ...curveWarnings(curve), ...told.warnings] };
}

/** The slope of the coating beside the strip, kept with the curve so that later sheets of the coating know it. */
function slopeBeside(shown: CoatingShown | null): Pick<Curve, "coatingSlope"> {
  return shown === null
    ? {}
    : { coatingSlope: { share: shown.gradient, sigmaShare: shown.gradientSigma, isBeside: true } };
}

/** The strip, or both strips of its sheet read together, with the coating's slope that they show. */
function sheetOf(
  single: AssessTestInput["reading"],
  turnedSteps: readonly ReadingStep[] | undefined,
  channel: TestRequest["channel"],
): { reading: AssessTestInput["reading"]; slope: Pick<Curve, "coatingSlope"> } {
  if (turnedSteps === undefined) return { reading: single, slope: {} };
  const shown = coatingSlope(single.steps, turnedSteps, channel);
  return {
    reading: { ...single, steps: readTogether(single.steps, turnedSteps) },
    slope: shown === null ? {} : { coatingSlope: shown },
  };
}

/**
 * Advice of a test whose curve is known, for a film that has changed since: no new fit, so that a whole studio's tests
 * follow at once.
 * @param curve of the same reading
 */
export function readviseTest({
  request,
  reading,
  curve,
  filmDensity,
  filmSigma = usualFilmSigma,
  filmMaxDensity,
}: AssessTestInput & { readonly curve: Curve }): TestAssessment {
  const testSeconds = longestSeconds(request.tablet, request.exposureSeconds) ?? 10 ** curve.steps.at(-1)!.logH;
  const terms = termsOf({ request, steps: curve.steps, testSeconds, filmDensity, filmSigma });
  const warnings = [
    ...printWarnings(request),
    ...setUpWarnings(request, { filmInTest: isFilmInTest(request), filmDensity }),
    ...curveWarnings(curve),
  ];
  const told = adviseFromCurve({
    curve,
    terms,
    steps: reading.steps,
    filmDensity,
    filmMaxDensity: filmMaxDensity ?? null,
  });
  return { curve, exposure: told.exposure, warnings: [...warnings, ...told.warnings] };
}

/** A reading that says so already, with what to do, says it once for both. */
const reversedWarnings = ({ warnings = [] }: AssessTestInput["reading"]): AdviceWarning[] =>
  warnings.some(({ code }) => code === "strip-reversed") ? [] : [{ code: "strip-reversed" }];

/** A strip of levels is printed on the film itself, so its base is in every step already. */
function isFilmInTest({ filmInTest, tablet }: TestRequest): boolean {
  return filmInTest || tablet.kind === "levels" || tablet.kind === "sheet";
}

/** @param steps rising logH */
function termsOf({
  request,
  steps,
  testSeconds,
  filmDensity,
  filmSigma,
}: {
  request: TestRequest;
  steps: readonly { readonly logH: number }[];
  testSeconds: number;
  filmDensity: number | null;
  filmSigma: number;
}): AdviceTerms {
  const filmInTest = isFilmInTest(request);
  const highestLogH = steps[steps.length - 1]!.logH;
  return {
    targetShare: request.targetShare,
    filmDensity: filmDensity ?? 0,
    filmSigma: filmInTest || (filmDensity ?? 0) === 0 ? 0 : filmSigma,
    filmInTest,
    testSeconds,
    tablet: request.tablet.kind === "timed" ? "timed strip" : "film",
    highestLogH,
    spanLogH: highestLogH - steps[0]!.logH,
    ...(request.tablet.kind === "transmission" ? { wholeTablet: wholeTabletSigmas(request.tablet) } : {}),
  };
}

function curveStep(
  step: ReadingStep,
  position: number,
  { request, count }: { request: TestRequest; count: number },
): CurveStep {
  const isRed = request.channel === "red";
  const logH = stepLogH({
    tablet: request.tablet,
    input: step.input,
    exposureSeconds: request.exposureSeconds,
  });
  return {
    index: step.index,
    logH: logH ?? 0,
    sigmaLogH: stepToleranceLogH(request.tablet, step.input),
    density: isRed ? step.red : step.visual,
    sigma: isRed ? step.sigma : step.sigmaVisual,
    isFlagged: step.flags.some((flag) => distrustedFlags.includes(flag)),
    tabletDensity: request.tablet.kind === "transmission" ? step.input : null,
    place: request.tablet.kind === "sheet" || count < 2 ? null : (2 * position) / (count - 1) - 1,
  };
}

function printWarnings({ dry, oxidised }: TestRequest): AdviceWarning[] {
  const warnings: AdviceWarning[] = [];
  if (dry === false) warnings.push({ code: "print-wet" });
  if (oxidised === false) warnings.push({ code: "print-not-oxidised" });
  return warnings;
}

function setUpWarnings(
  { filmId, tablet }: TestRequest,
  { filmInTest, filmDensity }: { filmInTest: boolean; filmDensity: number | null },
): AdviceWarning[] {
  const warnings: AdviceWarning[] = [];
  if (filmId && filmDensity === null && !filmInTest) warnings.push({ code: "film-base-missing" });
  if (!filmId && !filmInTest) warnings.push({ code: "no-film" });
  if (tablet.kind === "timed") warnings.push({ code: "reciprocity" });
  return warnings;
}

function curveWarnings(curve: Curve): AdviceWarning[] {
  const left = (reason: string) =>
    curve.steps
      .filter((step) => step.leftOut === reason)
      .map((step) => step.index)
      .sort((a, b) => a - b);
  const warnings: AdviceWarning[] = [];
  const wild = left("wild");
  if (wild.length > 0) warnings.push({ code: "wild-steps", steps: wild });
  const fallen = left("reversal");
  if (fallen.length > 0) warnings.push({ code: "reversal", steps: fallen });
  if (curve.points.toe === null && curve.steps.length > 0) warnings.push({ code: "toe-not-reached" });
  return warnings;
}

function withoutLogH(request: TestRequest, filmDensity: number | null): AdviceWithReasons {
  return advice({ targetShare: request.targetShare, filmDensity: filmDensity ?? 0 }, "ok", [
    { code: "tones-only", exposureSeconds: request.exposureSeconds ?? null },
    { code: "tones-serve-for" },
  ]);
}
