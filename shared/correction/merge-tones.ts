// Tones of one grey level printed several times become one tone with a smaller uncertainty.
import type { Tone } from "#shared/schema/correction.ts";

/** Smallest uncertainty that one tone can have: 8-bit rounding of the picture near paper white is 0.002 in density. */
const leastSigmaDensity = 0.002;

/**
 * Tones by rising level, those of one level averaged. The uncertainty of an average is the larger of what the single
 * uncertainties promise and what the scatter between the repeats shows.
 * @param tones in any order
 */
export function mergeTones(tones: readonly Tone[]): Tone[] {
  const byLevel = new Map<number, Tone[]>();
  for (const tone of tones) byLevel.set(tone.level, [...(byLevel.get(tone.level) ?? []), tone]);
  return [...byLevel.values()].map(averageTone).sort((a, b) => a.level - b.level);
}

function averageTone(repeats: readonly Tone[]): Tone {
  const weights = repeats.map(({ sigma }) => 1 / Math.max(sigma, leastSigmaDensity) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (pick: (tone: Tone) => number) =>
    repeats.reduce((sum, tone, index) => sum + weights[index]! * pick(tone), 0) / total;
  const density = mean((tone) => tone.density);
  const promised = Math.sqrt(1 / total);
  const scatter =
    repeats.length < 2
      ? 0
      : Math.sqrt(
          repeats.reduce((sum, tone, index) => sum + weights[index]! * (tone.density - density) ** 2, 0) /
            total /
            (repeats.length - 1),
        );
  return {
    level: repeats[0]!.level,
    lightness: mean((tone) => tone.lightness),
    density,
    sigma: Math.max(promised, scatter),
  };
}
