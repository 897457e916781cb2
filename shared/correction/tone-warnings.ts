// What a measured tone scale says about film and exposure, in plain words with numbers.
import type { Tone } from "#shared/schema/correction.ts";
import { topLevel } from "./grey-level.ts";
import type { Warning } from "#shared/schema/reading.ts";
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
export function toneWarnings({ tones, lightness }: { tones: readonly Tone[]; lightness: ToneScale }): Warning[] {
  const warnings: Warning[] = [];
  const say = (code: string, message: string) => warnings.push({ code, message });
  const lightest = tones.at(-1)!;

  const blockedBelow = lightness.levelFor(lightness.darkest + lookAlikeLightness);
  if (blockedBelow - lightness.lowestLevel > harmlessLevels) {
    say(
      "shadows-blocked",
      `Grey levels ${rounded(lightness.lowestLevel)} to ${rounded(blockedBelow)} all print as the darkest blue, L* ${lightness.darkest.toFixed(1)} within ${lookAlikeLightness}: shadows as sent today are blocked there. The correction spreads them again; a shorter exposure would block fewer.`,
    );
  }
  const emptyAbove = lightness.levelFor(lightness.lightest - lookAlikeLightness);
  if (lightness.highestLevel - emptyAbove > harmlessLevels) {
    say(
      "highlights-empty",
      `Grey levels ${rounded(emptyAbove)} to ${rounded(lightness.highestLevel)} all print as the lightest tone, L* ${lightness.lightest.toFixed(1)} within ${lookAlikeLightness}: highlights as sent today are empty there. The correction spreads them again; less ink on the film would empty fewer.`,
    );
  }
  const veil = lightest.density;
  if (lightest.level > topLevel - 8 && veil > Math.max(cleanPaperDensity, 3 * lightest.sigma)) {
    say(
      "highlights-not-held",
      `The densest film lets light through: level ${rounded(lightest.level)} prints ${veil.toFixed(2)} denser than bare paper, so the lightest tone can be no lighter than L* ${lightness.lightest.toFixed(1)}. A denser black on the film, two films stacked or a shorter exposure would hold the paper white.`,
    );
  }
  if (lightness.lowestLevel > 0 || lightness.highestLevel < topLevel) {
    say(
      "levels-incomplete",
      `The levels read run from ${rounded(lightness.lowestLevel)} to ${rounded(lightness.highestLevel)}, not from 0 to ${topLevel}: the correction stays within them, since nothing is known beyond.`,
    );
  }
  const fall = largestFall(tones);
  if (fall !== null) {
    say(
      "tones-fall",
      `The print gets darker again near level ${rounded(fall.level)}, by L* ${fall.byLightness.toFixed(1)}, more than its uncertainty explains: uneven coating, a mark on the print, or an exposure so long that the blue turns paler. The curve goes through the middle.`,
    );
  }
  if (tones.length < enoughLevels) {
    say(
      "few-levels",
      `Only ${tones.length} grey levels were read; between them the curve is a guess. A strip of 16 levels or more, or the wedge sheet, tells more.`,
    );
  }
  return warnings;
}

/** The place where tones fall most with rising level, when the fall is past doubt (4 standard uncertainties of the difference). */
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

function rounded(level: number): string {
  return String(Math.round(level));
}
