// From the steps of a reading to tones: which can be trusted, and whether the strip was printed upside down.
import type { Tone } from "#shared/schema/correction.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { CorrectionWarning } from "./correction-facts.ts";
import { topLevel } from "./grey-level.ts";

/** Flags of a reading that make a step's lightness worthless for a tone scale. */
const distrustedFlags: readonly string[] = ["left-out", "clipped", "crushed"];

/**
 * Tones of a strip of levels or a wedge sheet. Visual density, since a print is looked at.
 * @param reading its steps' `input` are grey levels as positives, 0-255
 * @returns the tones in reading order; levels turned round (255 - level) when the print gets darker as they rise
 */
export function tonesFromReading(reading: Pick<Reading, "steps">): { tones: Tone[]; warnings: CorrectionWarning[] } {
  const trusted = reading.steps.filter((step) => !step.flags.some((flag) => distrustedFlags.includes(flag)));
  const steps = reading.steps.filter((step) => !trusted.includes(step)).map((step) => step.index);
  const leftOut: CorrectionWarning[] = steps.length > 0 ? [{ code: "tones-left-out", steps }] : [];
  const tones = trusted.map((step): Tone => ({
    level: step.input,
    lightness: step.lightness,
    density: step.visual,
    sigma: step.sigmaVisual,
  }));
  if (!getsDarker(tones)) return { tones, warnings: leftOut };
  return {
    tones: tones.map((tone) => ({ ...tone, level: topLevel - tone.level })),
    warnings: [...leftOut, { code: "strip-not-inverted" }],
  };
}

/** True when density rises with the grey level over the whole strip. */
function getsDarker(tones: readonly Tone[]): boolean {
  const mean = (pick: (tone: Tone) => number) => tones.reduce((sum, tone) => sum + pick(tone), 0) / tones.length;
  const level = mean((tone) => tone.level);
  const density = mean((tone) => tone.density);
  return tones.reduce((sum, tone) => sum + (tone.level - level) * (tone.density - density), 0) > 0;
}
