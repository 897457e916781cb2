// What a measured tone scale says about film and exposure.
import type { Tone } from "#shared/schema/correction.ts";
import { topLevel } from "./grey-level.ts";
import type { CorrectionWarning } from "./correction-facts.ts";
import type { ToneScale } from "./tone-scale.ts";

/** Tones closer than this look alike, L*. common practice, no source */
const lookAlikeLightness = 1;
/** Paper veiled by less than this is clean, density. common practice, no source */
const cleanPaperDensity = 0.03;
/** Levels at one end that may print alike before it is worth a word. common practice, no source */
const harmlessLevels = 16;
/** Fewer levels than this leave the curve between them to chance. common practice, no source */
const enoughLevels = 8;

/** Warnings about ends that merge or stay veiled, missing ends, falls and too few levels. */
export function toneWarnings({
  tones,
  lightness,
  isVeilKnown,
}: {
  tones: readonly Tone[];
  lightness: ToneScale;
  /**
   * False where the zero is the print's own lightest tone: then whether the film holds back too much or too little
   * cannot be told.
   */
  isVeilKnown: boolean;
}): CorrectionWarning[] {
  const warnings: CorrectionWarning[] = [];
  const lightest = tones.at(-1)!;
  const { lowestLevel, highestLevel } = lightness;
  const withinLightness = lookAlikeLightness;

  const blockedBelow = lightness.levelFor(lightness.darkest + lookAlikeLightness);
  if (blockedBelow - lowestLevel > harmlessLevels)
    warnings.push({
      code: "shadows-blocked",
      fromLevel: lowestLevel,
      toLevel: blockedBelow,
      lightness: lightness.darkest,
      withinLightness,
    });
  const veilDensity = lightest.density;
  const isVeiled = lightest.level > topLevel - 8 && veilDensity > Math.max(cleanPaperDensity, 3 * lightest.sigma);
  const emptyAbove = lightness.levelFor(lightness.lightest - lookAlikeLightness);
  if (highestLevel - emptyAbove > harmlessLevels)
    warnings.push({
      code: "highlights-empty",
      film: filmAtLightEnd(isVeilKnown, isVeiled),
      fromLevel: emptyAbove,
      toLevel: highestLevel,
      lightness: lightness.lightest,
      withinLightness,
    });
  if (isVeiled)
    warnings.push({
      code: "highlights-not-held",
      level: lightest.level,
      veilDensity,
      lightness: lightness.lightest,
    });
  if (lowestLevel > 0 || highestLevel < topLevel)
    warnings.push({ code: "levels-incomplete", lowest: lowestLevel, highest: highestLevel, top: topLevel });
  const fall = largestFall(tones);
  if (fall !== null) warnings.push({ code: "tones-fall", ...fall });
  if (tones.length < enoughLevels) warnings.push({ code: "few-levels", count: tones.length });
  return warnings;
}

/**
 * What levels that merge at the light end say about the film: too much ink only where the paper is known to be clean
 * there.
 */
function filmAtLightEnd(isVeilKnown: boolean, isVeiled: boolean): "unknown" | "veiled" | "dense" {
  if (!isVeilKnown) return "unknown";
  return isVeiled ? "veiled" : "dense";
}

/**
 * The place where tones fall most with rising level, when the fall is past doubt (4 standard uncertainties of the
 * difference).
 */
function largestFall(tones: readonly Tone[]): { level: number; byLightness: number } | null {
  let worst: { level: number; byLightness: number } | null = null;
  for (let index = 1; index < tones.length; index++) {
    const before = tones[index - 1]!;
    const after = tones[index]!;
    const fall = before.lightness - after.lightness;
    const doubt = 4 * Math.hypot(before.sigma, after.sigma);
    if (after.density - before.density > doubt && fall > lookAlikeLightness && fall > (worst?.byLightness ?? 0))
      worst = { level: after.level, byLightness: fall };
  }
  return worst;
}
