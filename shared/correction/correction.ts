// From the tones of a printed strip or sheet to the tone curve that the next negative needs.
import { TroubleError } from "#shared/errors.ts";
import type { PointsWish, Tone, ToneTarget } from "#shared/schema/correction.ts";
import { topLevel } from "./grey-level.ts";
import type { CorrectionTrouble, FoundCorrection } from "./correction-facts.ts";
import { mergeTones } from "./merge-tones.ts";
import { fitToneScale, scaleLevels, type ToneScale } from "./tone-scale.ts";
import { toneWarnings } from "./tone-warnings.ts";
import { typedPoints } from "./typed-points.ts";

/** Least difference between darkest and lightest tone that a curve can be drawn from, L*. */
const leastRangeLightness = 5;

export interface CorrectionInput {
  /** At least 3 different levels, in any order; replicates welcome. */
  readonly tones: readonly Tone[];
  readonly target: ToneTarget;
  /** False where the tones count from the print's own lightest one, not from bare paper; true when absent. */
  readonly isVeilKnown?: boolean;
  /** What the points to type are for; straight lines within one grey level when absent. */
  readonly points?: PointsWish;
}

/** Straight lines within one grey level: a list that is typed in a minute, and less than the print's own scatter. */
export const usualPoints: PointsWish = { tool: "straight", withinLevels: 1 };

/** A tone curve, found once and read at as many levels as wanted. */
export interface SolvedCorrection {
  readonly found: FoundCorrection;
  /**
   * Grey levels 0-255, not rounded, for `count` evenly spaced wanted levels from 0 to 255, such as 65,536 for 16 bit.
   */
  readonly table: (count: number) => Float64Array;
}

/**
 * Tone correction: for each wanted grey level of a positive, the level to send to the film printer so that the print
 * lies on the target. It never falls; its ends are the ends of the measured tone scale, so that paper stays clean and
 * the darkest blue full. The list of points to type beside it is as long as its stated closeness needs.
 * @throws TroubleError "no-correction" when fewer than 3 levels were read or all of them printed alike
 * Source: inversion of a measured tone scale; common practice, no source.
 */
export function solvedCorrection(input: CorrectionInput): SolvedCorrection {
  const { merged, wanted, scale, lightness } = prepare(input);
  const levels = invert(scale, wanted, topLevel + 1);
  const density = scale.quantity === "density" ? scale : fitToneScale(merged, "density");
  const wish = input.points ?? usualPoints;
  const typed = typedPoints(levels, wish);
  return {
    found: {
      target: typeof input.target === "string" ? input.target : "points",
      levels,
      points: typed.points,
      pointsTool: wish.tool,
      pointsWithinLevels: typed.withinLevels,
      measured: { lightness: scaleLevels(lightness), density: scaleLevels(density).map((value) => 0 - value) },
      wantedLightness: levels.map((level, index) =>
        scale.quantity === "density" ? lightness.valueAt(level) : wanted(index),
      ),
      tones: merged,
      warnings: toneWarnings({ tones: merged, lightness, isVeilKnown: input.isVeilKnown ?? true }),
    },
    table: (count) => Float64Array.from(invert(scale, wanted, count)),
  };
}

/** The tone correction alone, for whoever needs no other table. @throws TroubleError "no-correction" */
export function correctionFromTones(input: CorrectionInput): FoundCorrection {
  return solvedCorrection(input).found;
}

function prepare({ tones, target }: CorrectionInput): {
  merged: Tone[];
  scale: ToneScale;
  lightness: ToneScale;
  wanted: (level: number) => number;
} {
  const merged = mergeTones(tones);
  if (merged.length < 3)
    throw new TroubleError<CorrectionTrouble>("no-correction", { code: "too-few-levels", levels: merged.length });
  const span = Math.max(...merged.map((tone) => tone.lightness)) - Math.min(...merged.map((tone) => tone.lightness));
  if (span < leastRangeLightness) {
    throw new TroubleError<CorrectionTrouble>("no-correction", {
      code: "levels-alike",
      spanLightness: span,
      leastLightness: leastRangeLightness,
    });
  }
  const lightness = fitToneScale(merged, "lightness");
  if (lightness.lightest - lightness.darkest < leastRangeLightness) {
    throw new TroubleError<CorrectionTrouble>("no-correction", { code: "tones-not-rising" });
  }
  const scale = target === "density" ? fitToneScale(merged, "density") : lightness;
  const share =
    typeof target === "string"
      ? (level: number) => level / topLevel
      : (level: number) => shareFromPoints(target.points, level);
  return {
    merged,
    scale,
    lightness,
    wanted: (level) => (1 - share(level)) * scale.darkest + share(level) * scale.lightest,
  };
}

function invert(scale: ToneScale, wanted: (level: number) => number, count: number): number[] {
  return Array.from({ length: count }, (_, index) => scale.levelFor(wanted((index / (count - 1)) * topLevel)));
}

/** Share of the way from darkest to lightest that a list of points asks for; straight between, level beyond. */
function shareFromPoints(
  points: readonly { readonly level: number; readonly percent: number }[],
  level: number,
): number {
  const after = points.findIndex((point) => point.level >= level);
  if (after === -1) return points.at(-1)!.percent / 100;
  const right = points[after]!;
  const left = points[after - 1];
  if (left === undefined) return right.percent / 100;
  return (left.percent + ((level - left.level) / (right.level - left.level)) * (right.percent - left.percent)) / 100;
}
