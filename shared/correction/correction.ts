// From the tones of a printed strip or sheet to the tone curve that the next negative needs.
import { TroubleError } from "#shared/errors.ts";
import type { CorrectionPoint, CorrectionTarget, Tone } from "#shared/schema/correction.ts";
import { topLevel } from "./grey-level.ts";
import type { CorrectionTrouble, CorrectionWarning, FoundCorrection } from "./correction-facts.ts";
import { mergeTones } from "./merge-tones.ts";
import { fitToneScale, scaleLevels, type ToneScale } from "./tone-scale.ts";
import { toneWarnings } from "./tone-warnings.ts";
import { lineThrough, typedPoints, typedWithinLevels } from "./typed-points.ts";

/** Least difference between darkest and lightest tone that a curve can be drawn from, L*. */
const leastRangeLightness = 5;

export interface CorrectionInput {
  /** At least 3 different levels, in any order; replicates welcome. */
  readonly tones: readonly Tone[];
  readonly target: CorrectionTarget;
  /** False where the tones count from the print's own lightest one, not from bare paper; true when absent. */
  readonly isVeilKnown?: boolean;
}

/**
 * How far the corrected print may be moved off its target so that a short list of points can describe the curve, L*;
 * tried in turn.
 */
const slackLightness = [0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.75, 1, 1.5, 2, 3, 5, 10, 100];
/** Slack that nobody sees and no reading of a print can tell from noise, L*. common practice, no source */
const harmlessSlackLightness = 0.5;

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
 * the darkest blue full. Where neighbouring tones print nearly alike, the exact inversion is bent by a fraction of L*
 * towards straight lines, so that 14 typed points describe it within half a grey level.
 * @throws TroubleError "no-correction" when fewer than 3 levels were read or all of them printed alike
 * Source: inversion of a measured tone scale; common practice, no source.
 */
export function solvedCorrection(input: CorrectionInput): SolvedCorrection {
  const solution = solve(input);
  const { scale, wanted, points } = solution;
  return {
    found: foundCorrection(input, solution),
    table: (count) =>
      Float64Array.from(invert(scale, wanted, count), (level, index) =>
        nearLines(points, (index / (count - 1)) * topLevel, level),
      ),
  };
}

/** The tone correction alone, for whoever needs no other table. @throws TroubleError "no-correction" */
export function correctionFromTones(input: CorrectionInput): FoundCorrection {
  return foundCorrection(input, solve(input));
}

function foundCorrection(
  input: CorrectionInput,
  { merged, wanted, scale, lightness, points, slack, exact }: Solution,
): FoundCorrection {
  const density = scale.quantity === "density" ? scale : fitToneScale(merged, "density");
  const levels = exact.map((level, index) => nearLines(points, index, level));
  const simplified: CorrectionWarning[] =
    slack > harmlessSlackLightness ? [{ code: "curve-simplified", points: points.length, byLightness: slack }] : [];
  return {
    target: typeof input.target === "string" ? input.target : "points",
    levels,
    points,
    pointsWithinLevels: levels.reduce(
      (largest, output, index) => Math.max(largest, Math.abs(lineThrough(points, index) - output)),
      0,
    ),
    measured: { lightness: scaleLevels(lightness), density: scaleLevels(density).map((value) => 0 - value) },
    wantedLightness: exact.map((level, index) =>
      scale.quantity === "density" ? lightness.valueAt(level) : wanted(index),
    ),
    tones: merged,
    warnings: [...toneWarnings({ tones: merged, lightness, isVeilKnown: input.isVeilKnown ?? true }), ...simplified],
  };
}

/** A level no farther from the typed lines than they may lie from the curve. */
function nearLines(points: readonly CorrectionPoint[], wantedLevel: number, level: number): number {
  const line = lineThrough(points, wantedLevel);
  return Math.min(line + typedWithinLevels, Math.max(line - typedWithinLevels, level));
}

interface Solution {
  readonly merged: Tone[];
  readonly scale: ToneScale;
  readonly lightness: ToneScale;
  readonly wanted: (level: number) => number;
  readonly exact: number[];
  readonly points: CorrectionPoint[];
  /** Slack that the points needed, L*. */
  readonly slack: number;
}

function solve(input: CorrectionInput): Solution {
  const { merged, wanted, scale, lightness } = prepare(input);
  const exact = invert(scale, wanted, topLevel + 1);
  for (const slack of slackLightness) {
    const moved = (level: number, by: number) =>
      slack === 0 ? level : lightness.levelFor(lightness.valueAt(level) + by);
    const lower = exact.map((level) => Math.min(level - typedWithinLevels, moved(level, -slack)));
    const upper = exact.map((level) => Math.max(level + typedWithinLevels, moved(level, slack)));
    const points = typedPoints({ levels: exact, lower, upper });
    if (points !== null) return { merged, scale, lightness, wanted, exact, points, slack };
  }
  throw new RangeError("With the whole tone scale as slack two points are always enough.");
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
