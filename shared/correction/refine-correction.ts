// The second look: a sheet printed through a correction tells how straight the print came out, and makes the next curve
// better.
import { densityShift } from "./density-shift.ts";
import { topLevel } from "./grey-level.ts";
import { lightnessPerDensity } from "./tone-scale.ts";
import { lightnessFromLuminance, luminanceFromLightness } from "#shared/density/lightness.ts";
import type { Tone } from "#shared/schema/correction.ts";

/** How one wanted level came out. */
interface CheckedTone {
  /** Wanted grey level, 0-255. */
  readonly level: number;
  /** L* of the print through the correction. */
  readonly lightness: number;
  /** L* that the target wants between this print's own darkest and lightest tone. */
  readonly wantedLightness: number;
  /** `lightness` minus `wantedLightness`: above 0 too light. */
  readonly difference: number;
  /** Standard uncertainty of `lightness`. */
  readonly sigma: number;
}

export interface Residual {
  readonly tones: readonly CheckedTone[];
  /** Mean and largest of the absolute differences, L*, the two ends left out. */
  readonly mean: number;
  readonly worst: number;
}

export interface RefineInput {
  /** Tones of the first print: `level` is what was sent to the film printer. */
  readonly first: readonly Tone[];
  /** The correction that the second sheet was printed through: the level sent for each wanted level, 256 numbers. */
  readonly sentLevels: readonly number[];
  /** Tones of the second print: `level` is the wanted level. */
  readonly second: readonly Tone[];
}

/**
 * How a print through a correction differs from what the correction aimed at: even steps of L* or of density between
 * the print's own darkest and lightest tone.
 */
export function correctionResidual(tones: readonly Tone[], target: "lightness" | "density"): Residual {
  const sorted = [...tones].sort((a, b) => a.level - b.level);
  const [darkest, lightest] = ends(sorted);
  const checked = sorted.map(({ level, lightness, sigma }): CheckedTone => {
    const wantedLightness = lightnessBetween(darkest, lightest, level / topLevel, target);
    return {
      level,
      lightness,
      wantedLightness,
      difference: lightness - wantedLightness,
      sigma: lightnessPerDensity(lightness) * sigma,
    };
  });
  const inner = checked.slice(1, -1).map(({ difference }) => Math.abs(difference));
  return {
    tones: checked,
    mean: inner.length === 0 ? 0 : inner.reduce((sum, value) => sum + value, 0) / inner.length,
    worst: Math.max(0, ...inner),
  };
}

/**
 * Tones of both prints on one scale: what the film printer was sent, and how light it came out in the first print's
 * range. The second print's darkest and lightest tone are laid on the first print's, since another coating day moves
 * both ends and is no fault of the curve. Both prints count by their uncertainties; with equal ones each residual is
 * corrected by half (damped), and what was chance in either print is halved too.
 */
export function pooledTones({ first, sentLevels, second }: RefineInput): Tone[] {
  const byLevel = [...first].sort((a, b) => a.level - b.level);
  const [firstDark, firstLight] = ends(byLevel);
  const seconds = [...second].sort((a, b) => a.level - b.level);
  const [secondDark, secondLight] = ends(seconds);
  const stretch = (firstLight - firstDark) / (secondLight - secondDark);
  if (!(stretch > 0) || !Number.isFinite(stretch))
    throw new RangeError("A print whose tones are all alike cannot refine a correction.");
  const moved = seconds.map((tone): Tone => {
    const lightness = firstDark + (tone.lightness - secondDark) * stretch;
    // The density that goes with the moved lightness, by the first print's own slope between them.
    return {
      level: sentAt(sentLevels, tone.level),
      lightness,
      density: tone.density + densityShift(tone.lightness, lightness),
      sigma: tone.sigma * stretch,
    };
  });
  return [...byLevel, ...moved];
}

/** Level sent for a wanted level, straight between whole levels. */
export function sentAt(sentLevels: readonly number[], level: number): number {
  const low = Math.min(topLevel, Math.max(0, Math.floor(level)));
  const high = Math.min(topLevel, low + 1);
  return sentLevels[low]! + (level - low) * (sentLevels[high]! - sentLevels[low]!);
}

/** Darkest and lightest tone: the means of both ends' outermost tones would mix in the toe, so the ends themselves. */
function ends(sorted: readonly Tone[]): [number, number] {
  const [first, last] = [sorted[0], sorted.at(-1)];
  if (first === undefined || last === undefined) throw new RangeError("No tones.");
  return [first.lightness, last.lightness];
}

/**
 * L* at a share of the way from darkest to lightest. Even steps of density are even ratios of luminance.
 * Source: cie-1976-lightness
 */
function lightnessBetween(darkest: number, lightest: number, share: number, target: "lightness" | "density"): number {
  if (target === "lightness") return darkest + share * (lightest - darkest);
  return lightnessFromLuminance(
    luminanceFromLightness(darkest) ** (1 - share) * luminanceFromLightness(lightest) ** share,
  );
}
