// From the steps of a reading to tones: which can be trusted, and whether the strip was printed upside down.
import type { Tone } from "#shared/schema/correction.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { CorrectionWarning } from "./correction-facts.ts";
import { topLevel } from "./grey-level.ts";

/** Flags of a reading that make a step's lightness worthless for a tone scale. */
const distrustedFlags: readonly string[] = ["left-out", "clipped", "crushed"];

/**
 * How far a camera's own tone curve may move a middle tone [L*]: an S-shaped curve of a phone did so by 1.9 in the mean
 * and 3.3 at worst in one rendered picture; our judgement.
 */
export const cameraToneLightness = 3;

/** What leaves the tone curve of the picture itself unknown. */
function cameraWarnings(warnings: Reading["warnings"] = []): CorrectionWarning[] {
  const has = (code: string): boolean => warnings.some((warning) => warning.code === code);
  if (has("tone-unchecked")) return [{ code: "tones-by-camera", why: "camera", lightness: cameraToneLightness }];
  if (has("profile-missing")) return [{ code: "tones-by-camera", why: "no-profile", lightness: cameraToneLightness }];
  return [];
}

/**
 * Tones of a strip of levels or a wedge sheet. Visual density, since a print is looked at.
 * @param reading its steps' `input` are grey levels as positives, 0-255
 * @returns the tones in reading order; levels turned round (255 - level) when the print gets darker as they rise
 */
export function tonesFromReading(reading: Pick<Reading, "steps"> & Partial<Pick<Reading, "warnings">>): {
  tones: Tone[];
  warnings: CorrectionWarning[];
} {
  const trusted = reading.steps.filter((step) => !step.flags.some((flag) => distrustedFlags.includes(flag)));
  const steps = reading.steps.filter((step) => !trusted.includes(step)).map((step) => step.index);
  const found: CorrectionWarning[] = [
    ...cameraWarnings(reading.warnings),
    ...(steps.length > 0 ? [{ code: "tones-left-out", steps } as const] : []),
  ];
  const tones = trusted.map((step): Tone => ({
    level: step.input,
    lightness: step.lightness,
    density: step.visual,
    sigma: step.sigmaVisual,
  }));
  if (!getsDarker(tones)) return { tones, warnings: found };
  return {
    tones: tones.map((tone) => ({ ...tone, level: topLevel - tone.level })),
    warnings: [...found, { code: "strip-not-inverted" }],
  };
}

/** True when density rises with the grey level over the whole strip. */
function getsDarker(tones: readonly Tone[]): boolean {
  const mean = (pick: (tone: Tone) => number) => tones.reduce((sum, tone) => sum + pick(tone), 0) / tones.length;
  const level = mean((tone) => tone.level);
  const density = mean((tone) => tone.density);
  return tones.reduce((sum, tone) => sum + (tone.level - level) * (tone.density - density), 0) > 0;
}
