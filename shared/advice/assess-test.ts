// One reading and the way it was exposed, turned into curve, advice and warnings.
import type { Assessment, Curve, ExposureAdvice } from "#shared/schema/curve.ts";
import type { Reading, ReadingStep, Warning } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { fewestUsableSteps, fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { longestSeconds, stepLogH } from "#shared/tablet/log-exposure.ts";
import { stepToleranceLogH } from "#shared/tablet/tolerance.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import { advice, adviseExposure, adviseOnBlank, adviseOnSolid, type AdviceTerms } from "./advise-exposure.ts";
import { negativeAgainstCoating } from "#shared/film/negative-against-coating.ts";
import { stripState } from "./one-tone.ts";

/** Flags of a reading that make a step's density worthless for the curve. */
const distrustedFlags: readonly string[] = ["left-out", "crushed", "out-of-gamut", "clipped"];

export interface AssessTestInput {
  readonly request: TestRequest;
  readonly reading: Reading;
  /** UV density of the clear film that the time shall be for; null when it is not known or no film was chosen. */
  readonly filmDensity: number | null;
  /** UV density of the densest black that the device prints on that film, base included; null or absent when not known. */
  readonly filmMaxDensity?: number | null;
  /** UV density of each step's grey level on the user's film, in step order, where it has been measured (strips of levels and wedge sheets). */
  readonly levelDensities?: readonly number[];
}

/**
 * Curve, advice and warnings of one test.
 * @returns `curve` null where the log exposure of the steps is not known, or too few of them are usable
 */
export function assessTest({
  request,
  reading,
  filmDensity,
  filmMaxDensity,
  levelDensities,
}: AssessTestInput): Assessment {
  const warnings: Warning[] = [...reading.warnings];
  const say = (code: string, message: string) => warnings.push({ code, message });
  const { tablet, channel, targetShare } = request;
  warnAboutPrint(request, say);

  const testSeconds = longestSeconds(tablet, request.exposureSeconds);
  const isOnFilm = tablet.kind === "levels" || tablet.kind === "sheet";
  if (testSeconds === null || (isOnFilm && levelDensities?.length !== reading.steps.length)) {
    return { curve: null, exposure: withoutLogH(request, filmDensity), warnings };
  }
  // A strip of levels is printed on the film itself, so its base is in every step already.
  const filmInTest = request.filmInTest || isOnFilm;
  if (request.filmId && filmDensity === null && !filmInTest) {
    say(
      "film-base-missing",
      "The density of this film's clear base is not known, so the time is for bare coating. Clear film often costs 1.1 to 1.6 times as long: enter its base density under films, or lay the same film over the tablet in the test.",
    );
  }
  if (!request.filmId && !filmInTest) {
    say(
      "no-film",
      "No film was chosen: the time is for light that reaches the bare coating. A negative on film takes longer; choose the film to have its base counted in.",
    );
  }
  if (tablet.kind === "timed") {
    say(
      "reciprocity",
      "A timed strip changes the time, a negative changes the light. Most coatings answer to both alike within a tenth of a stop or two; a step tablet tests it the way a negative does.",
    );
  }

  const steps = reading.steps
    .map((step, i) => curveStep(step, i, { request, levelDensities }))
    .sort((a, b) => a.logH - b.logH);
  const usable = steps.filter((step) => !step.isFlagged);
  const terms: AdviceTerms = {
    targetShare,
    filmDensity: filmDensity ?? 0,
    filmInTest,
    testSeconds,
    tablet: tablet.kind === "timed" ? "timed strip" : "film",
    highestLogH: steps[steps.length - 1]!.logH,
    spanLogH: steps[steps.length - 1]!.logH - steps[0]!.logH,
  };
  if (usable.length < fewestUsableSteps) {
    say("too-few-steps", `Only ${usable.length} of ${steps.length} steps could be used.`);
    return {
      curve: null,
      exposure: advice(terms, "unreliable", [
        `A curve needs at least ${fewestUsableSteps} good steps, and this strip has fewer. Take a better picture, or use a strip with more steps.`,
      ]),
      warnings,
    };
  }
  switch (stripState(usable)) {
    case "hardly-any-blue":
      return { curve: null, exposure: adviseOnBlank({ terms, steps: usable, channel }), warnings };
    case "all-full-blue":
      return { curve: null, exposure: adviseOnSolid({ terms, steps: usable }), warnings };
    case "wrong-way-round":
      say(
        "strip-reversed",
        "The steps that should have got the least light are the darkest: the strip seems to be read from the wrong end.",
      );
      return {
        curve: null,
        exposure: advice(terms, "unreliable", [
          "The strip seems to be read from the wrong end. Turn the corners round so that step 1, the clearest or longest exposed, comes first.",
        ]),
        warnings,
      };
    case "tones":
  }
  const curve = fitCharacteristicCurve({ channel, steps });
  if (curve === null) {
    say("no-curve", "No curve could be drawn through the steps.");
    return {
      curve,
      exposure: advice(terms, "unreliable", [
        "The steps follow no rising curve, so no time can be drawn from them. Check the corners and the kind of tablet, or repeat the test on an even coating.",
      ]),
      warnings,
    };
  }
  warnAboutCurve(curve, say);
  const exposure = adviseExposure({ curve, terms });
  if (
    exposure.seconds === null ||
    filmDensity === null ||
    filmMaxDensity === undefined ||
    filmMaxDensity === null ||
    filmMaxDensity <= filmDensity
  )
    return { curve, exposure, warnings };
  const negative = negativeAgainstCoating({ curve, baseDensity: filmDensity, maxDensity: filmMaxDensity, targetShare });
  if (negative === null) return { curve, exposure, warnings };
  if (!negative.suits) say("negative-too-thin", negative.sentences.join(" "));
  return {
    curve,
    exposure: negative.suits ? { ...exposure, reasons: [...exposure.reasons, ...negative.sentences] } : exposure,
    warnings,
  };
}

function curveStep(
  step: ReadingStep,
  position: number,
  { request, levelDensities }: { request: TestRequest; levelDensities: readonly number[] | undefined },
): CurveStep {
  const isRed = request.channel === "red";
  const logH = stepLogH({
    tablet: request.tablet,
    input: step.input,
    exposureSeconds: request.exposureSeconds,
    levelDensity: levelDensities?.[position] ?? null,
  });
  return {
    index: step.index,
    logH: logH ?? 0,
    sigmaLogH: stepToleranceLogH(request.tablet, step.input),
    density: isRed ? step.red : step.visual,
    sigma: isRed ? step.sigma : step.sigmaVisual,
    isFlagged: step.flags.some((flag) => distrustedFlags.includes(flag)),
  };
}

type Say = (code: string, message: string) => void;

function warnAboutPrint(request: TestRequest, say: Say): void {
  if (request.dry === false)
    say(
      "print-wet",
      "The print was still wet. Wet prints read darker than they dry, so take the picture again when it is bone dry.",
    );
  if (request.oxidised === false)
    say(
      "print-not-oxidised",
      "The blue had not finished darkening. It deepens for about a day in air, or at once in very dilute peroxide; a picture taken then gives the lasting answer.",
    );
}

function warnAboutCurve(curve: Curve, say: Say): void {
  const left = (reason: string) =>
    curve.steps
      .filter((step) => step.leftOut === reason)
      .map((step) => step.index)
      .sort((a, b) => a - b);
  const wild = left("wild");
  if (wild.length > 0)
    say(
      "wild-steps",
      `Step ${wild.join(", ")} does not fit its neighbours (a spot, a hair, a streak?) and was left out of the curve.`,
    );
  const fallen = left("reversal");
  if (fallen.length > 0)
    say(
      "reversal",
      `Steps ${fallen.join(", ")} got more light but came out lighter: over-exposure turned them back. They were left out of the curve.`,
    );
  if (curve.points.toe === null && curve.steps.length > 0)
    say(
      "toe-not-reached",
      "No step is close to paper white at its dense end, so the exposure range of the coating cannot be told from this test.",
    );
}

function withoutLogH(request: TestRequest, filmDensity: number | null): ExposureAdvice {
  const used =
    request.exposureSeconds === undefined ? "" : ` It was exposed for ${plainTime(request.exposureSeconds)}.`;
  return advice({ targetShare: request.targetShare, filmDensity: filmDensity ?? 0 }, "ok", [
    `This strip measures tones, not exposure: how much light each grey level of your film lets through is not known yet, so no time can be drawn from it.${used}`,
    "For the time, print a step tablet or a timed strip. For the next negative, use the correction of this test.",
  ]);
}
