// A tone curve that was blended with another, or moved by hand in a few points: smooth, never falling, its ends kept.
import type { CurveMove } from "#shared/schema/kept-curve.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { topLevel } from "./grey-level.ts";

/**
 * Two curves level by level.
 * @param share of the second, 0 to 1
 */
export function blendedLevels(first: readonly number[], second: readonly number[], share: number): number[] {
  return first.map((level, index) => level + share * ((second[index] ?? level) - level));
}

/**
 * A curve moved in a few points. Between them the move runs smoothly and without overshoot, from nothing at the ends;
 * where it would make the curve fall, the curve is level instead, as near to the wish as a rising curve comes.
 * @param levels level to send for each wanted level, 256 numbers, rising
 * @param moves in any order; of several at one level the last counts
 * @returns 256 numbers within the ends of `levels`
 */
export function movedLevels(levels: readonly number[], moves: readonly CurveMove[]): number[] {
  if (moves.length === 0) return [...levels];
  const at = new Map<number, number>([
    [0, 0],
    [topLevel, 0],
    ...moves.map(({ level, byLevels }): [number, number] => [level, byLevels]),
  ]);
  const places = [...at.keys()].sort((a, b) => a - b);
  const move = monotoneCubic(
    places,
    places.map((place) => at.get(place) ?? 0),
  );
  const [least, most] = [levels[0] ?? 0, levels[topLevel] ?? topLevel];
  const wished = levels.map((level, index) => Math.min(most, Math.max(least, level + monotoneCubicAt(move, index))));
  return isotonicRegression(wished);
}
