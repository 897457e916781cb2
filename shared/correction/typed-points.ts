// A tone curve as a short list of points that a person types into an image editor, straight lines between.
import type { CorrectionPoint } from "#shared/schema/correction.ts";
import { maxTypedPoints, topLevel } from "./grey-level.ts";

/**
 * Farthest that the lines may lie from the full curve, grey levels; a hair under half a level leaves room for rounding.
 */
export const typedWithinLevels = 0.499;
/**
 * Places after the decimal point that are tried for the outputs: whole numbers first, since most editors take nothing
 * else.
 */
const gridsPerLevel = [1, 10];
/** Corners tried for each input; a wide tube is searched on a coarser grid. */
const cornersPerInput = 24;

/**
 * Fewest points whose straight lines stay inside a rising tube, both ends of the table kept exactly. Whole numbers
 * where they do, tenths of a level otherwise.
 * @param tube bounds in grey levels for inputs 0, 1, 2 …, each rising; the first and last are narrowed to the table's
 *   ends
 * @returns the points, or null when 14 are not enough
 */
export function typedPoints({
  levels,
  lower,
  upper,
}: {
  levels: readonly number[];
  lower: readonly number[];
  upper: readonly number[];
}): CorrectionPoint[] | null {
  for (const perLevel of gridsPerLevel) {
    const points = fewestPoints({ levels, lower, upper, perLevel });
    if (points !== null && points.length <= maxTypedPoints) return points;
  }
  return null;
}

/** Output of straight lines through points, at an input. */
export function lineThrough(points: readonly CorrectionPoint[], input: number): number {
  const after = points.findIndex((point) => point.input >= input);
  const right = points[after === -1 ? points.length - 1 : after]!;
  const left = points[Math.max(0, (after === -1 ? points.length : after) - 1)]!;
  return right.input === left.input
    ? right.output
    : left.output + ((input - left.input) / (right.input - left.input)) * (right.output - left.output);
}

interface Node {
  readonly input: number;
  readonly output: number;
  lines: number;
  before: Node | null;
}

/** Shortest chain of lines through the tube, corners on a grid of 1/perLevel levels; null when there is none. */
function fewestPoints({
  levels,
  lower,
  upper,
  perLevel,
}: {
  levels: readonly number[];
  lower: readonly number[];
  upper: readonly number[];
  perLevel: number;
}): CorrectionPoint[] | null {
  const lastInput = levels.length - 1;
  const columns: Node[][] = levels.map((output, input) => {
    if (input === 0 || input === lastInput) return [{ input, output, lines: input === 0 ? 0 : Infinity, before: null }];
    const nodes: Node[] = [];
    const first = Math.ceil(Math.max(0, lower[input]!) * perLevel);
    const last = Math.floor(Math.min(topLevel, upper[input]!) * perLevel);
    const stride = Math.max(1, Math.ceil((last - first + 1) / cornersPerInput));
    for (let k = first; k <= last; k += stride)
      nodes.push({ input, output: k / perLevel, lines: Infinity, before: null });
    return nodes;
  });
  for (const column of columns) {
    for (const from of column) {
      if (from.lines >= maxTypedPoints - 1) continue;
      let lowest = 0;
      let steepest = Infinity;
      for (let input = from.input + 1; input <= lastInput; input++) {
        const run = input - from.input;
        for (const to of columns[input]!) {
          const slope = (to.output - from.output) / run;
          if (slope >= lowest && slope <= steepest && from.lines + 1 < to.lines) {
            to.lines = from.lines + 1;
            to.before = from;
          }
        }
        lowest = Math.max(lowest, (lower[input]! - from.output) / run);
        steepest = Math.min(steepest, (upper[input]! - from.output) / run);
        if (lowest > steepest) break;
      }
    }
  }
  const end = columns[lastInput]![0]!;
  if (end.lines === Infinity) return null;
  const points: CorrectionPoint[] = [];
  for (let node: Node | null = end; node !== null; node = node.before)
    points.unshift({ input: node.input, output: node.output });
  return points;
}
