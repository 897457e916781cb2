// The light of a step as decoded, beside paper's at its place: what pictures at several exposures are compared by.
import type { LightField } from "#shared/reading/light/light-field.ts";
import type { MeasuredStep } from "#shared/reading/step-densities.ts";
import type { ExposedStep, ExposedTone } from "./seen-tones.ts";

/**
 * Light of a step and of paper, red alone of a grey picture; null where a channel shows no light.
 * @param field light of unexposed paper over the strip
 */
export function exposedStep(step: MeasuredStep, field: LightField, hasColour: boolean): ExposedStep | null {
  if (step.mean.some((light) => !(light > 0))) return null;
  const paper = field.logAt(step.u, step.v);
  const toneOf = (channel: 0 | 1 | 2): ExposedTone => ({
    light: step.mean[channel],
    paper: Math.exp(paper[channel]),
    sigma: (Math.LOG10E * step.sigma[channel]) / step.mean[channel],
  });
  return { ...toneOf(0), ...(hasColour ? { green: toneOf(1), blue: toneOf(2) } : {}) };
}
