// Everything that a curve says about the time through a film: advice, depths, steps, and the film's range against the
// coating's.
import type { Curve } from "#shared/schema/curve.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { logHAtShare } from "#shared/curve/curve-at.ts";
import { compromiseTime } from "#shared/film/compromise-time.ts";
import { negativeAgainstCoating } from "#shared/film/negative-against-coating.ts";
import type { AdviceReason, AdviceWarning, AdviceWithReasons } from "./advice-facts.ts";
import { adviseExposure, secondsAt, type AdviceTerms } from "./advise-exposure.ts";
import { depthTable } from "./depth-table.ts";
import { lightnessByDensity } from "./lightness-by-density.ts";

export interface AdviseFromCurveInput {
  readonly curve: Curve;
  readonly terms: AdviceTerms;
  /** Of the reading, for how light each density looks. */
  readonly steps: readonly ReadingStep[];
  /** UV density of the clear film and of the densest black on it; null where not known. */
  readonly filmDensity: number | null;
  readonly filmMaxDensity: number | null;
}

/** Advice and its warnings from a curve already fitted; quick, so that a change of the film needs no new fit. */
export function adviseFromCurve({ curve, terms, steps, filmDensity, filmMaxDensity }: AdviseFromCurveInput): {
  exposure: AdviceWithReasons;
  warnings: readonly AdviceWarning[];
} {
  const plain = adviseExposure({ curve, terms });
  if (plain.seconds === null) return { exposure: plain, warnings: [] };
  const lightness = lightnessByDensity(steps, curve.channel);
  const depths = depthTable({
    curve,
    lightness,
    filmSigma: terms.filmSigma ?? 0,
    secondsAt: (logH) => secondsAt(terms, logH),
  });
  const exposure = {
    ...plain,
    depths,
    reasons: [...plain.reasons, ...inSteps(curve, terms, plain.seconds), ...slopeSeen(curve)],
  };
  if (filmDensity === null || filmMaxDensity === null || filmMaxDensity <= filmDensity)
    return { exposure, warnings: [] };
  const film = { curve, baseDensity: filmDensity, maxDensity: filmMaxDensity };
  const negative = negativeAgainstCoating({ ...film, targetShare: terms.targetShare });
  if (negative === null) return { exposure, warnings: [] };
  if (negative.suits)
    return { exposure: { ...exposure, reasons: [...exposure.reasons, ...negative.findings] }, warnings: [] };
  const compromise = terms.filmInTest ? null : compromiseTime({ ...film, lightness });
  const reasons: AdviceReason[] =
    compromise === null
      ? []
      : [
          {
            code: "compromise",
            seconds: compromise.seconds,
            darkLost: compromise.darkLightnessLost,
            lightLost: compromise.lightLightnessLost,
          },
        ];
  return {
    exposure: { ...exposure, compromise, reasons: [...exposure.reasons, ...reasons] },
    warnings: [{ code: "negative-too-thin", findings: negative.findings }],
  };
}

/** What two strips head to tail, or the coating beside the strip, showed. */
function slopeSeen({ coatingSlope }: Curve): AdviceReason[] {
  if (coatingSlope === undefined) return [];
  const { share, sigmaShare, isBeside = false } = coatingSlope;
  return [{ code: isBeside ? "coating-beside" : "head-to-tail", share, sigmaShare }];
}

/** For people who count steps: how much shorter than the test, and which of its steps becomes the deepest. */
function inSteps(curve: Curve, terms: AdviceTerms, seconds: number): AdviceReason[] {
  const shoulder = logHAtShare(curve, terms.targetShare);
  if (terms.tablet !== "film" || shoulder === null) return [];
  const nearest = curve.steps.reduce((a, b) => (Math.abs(b.logH - shoulder) < Math.abs(a.logH - shoulder) ? b : a));
  return [{ code: "in-steps", stopsShorter: Math.log2(terms.testSeconds / seconds), deepestStep: nearest.index }];
}
