// A tone curve as a short list of points that a person types into an image editor: whole numbers, as many as a stated
// closeness needs, for a tool that joins them by straight lines or for one that draws a smooth line.
import type { CorrectionPoint, PointsTool, PointsWish } from "#shared/schema/correction.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { naturalCubic, naturalCubicAt } from "#shared/statistics/natural-cubic.ts";
import { topLevel } from "./grey-level.ts";

/** A wish that rounding makes impossible is widened by this factor until it can be met. */
const widening = 1.25;
/** An output counts as whole where the curve passes so near, grey levels; a smooth line makes more of what is left. */
const nearWholeLevels = 0.2;
/** Points are put where the curve is off most, or at most so many levels beside it, where its output is whole. */
const besideLevels = 6;
/** Most points that are tried for a smooth line. */
const mostSmoothPoints = 64;

export interface TypedPoints {
  /** Rising; whole numbers, both ends included. */
  readonly points: readonly CorrectionPoint[];
  /** Farthest that what the tool draws through them lies from the curve, grey levels. */
  readonly withinLevels: number;
}

/**
 * Points of whole numbers through which an image editor draws a tone curve.
 * @param levels grey levels 0-255, not rounded, for inputs 0, 1, 2 …, rising
 * @param wish how the tool joins points, and how far its line may lie from the curve, at least half a level
 * @returns as few as were found; where whole numbers cannot come so near, the nearest, with their true distance
 */
export function typedPoints(levels: readonly number[], { tool, withinLevels }: PointsWish): TypedPoints {
  for (let within = withinLevels; within < topLevel; within *= widening) {
    const points = tool === "straight" ? straightPoints(levels, within) : smoothPoints(levels, within);
    if (points !== null) return { points, withinLevels: farthest(levels, points, tool) };
  }
  throw new RangeError("With the whole tone scale as room two points are always enough.");
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

type Line = (input: number) => number;

/**
 * What a tool may draw through points. Smooth tools differ, so a list for them has to hold for the smoothest curve
 * (natural cubic) and for one that never overshoots (monotone cubic); tools keep to the scale's ends. common practice,
 * no source
 */
function linesOf(points: readonly CorrectionPoint[], tool: PointsTool): Line[] {
  if (tool === "straight") return [(input) => lineThrough(points, input)];
  const inputs = points.map(({ input }) => input);
  const outputs = points.map(({ output }) => output);
  const natural = naturalCubic(inputs, outputs);
  const monotone = monotoneCubic(inputs, outputs);
  return [
    (input) => Math.min(topLevel, Math.max(0, naturalCubicAt(natural, input))),
    (input) => monotoneCubicAt(monotone, input),
  ];
}

/** Distance from the curve at each input: the largest of what a tool may draw. */
function distances(levels: readonly number[], points: readonly CorrectionPoint[], tool: PointsTool): number[] {
  const lines = linesOf(points, tool);
  return levels.map((level, input) => Math.max(...lines.map((line) => Math.abs(line(input) - level))));
}

function farthest(levels: readonly number[], points: readonly CorrectionPoint[], tool: PointsTool): number {
  return Math.max(...distances(levels, points, tool));
}

interface Node {
  readonly input: number;
  readonly output: number;
  lines: number;
  before: Node | null;
}

/** Shortest chain of lines through a tube round the curve, corners at whole numbers; null when there is none. */
function straightPoints(levels: readonly number[], within: number): CorrectionPoint[] | null {
  const last = levels.length - 1;
  const columns = levels.map((level, input): Node[] => {
    const wholes =
      input === 0 || input === last
        ? [Math.round(level)]
        : wholesBetween(Math.max(0, level - within), Math.min(topLevel, level + within));
    return wholes.map((output) => ({ input, output, lines: input === 0 ? 0 : Infinity, before: null }));
  });
  for (const column of columns) for (const from of column) if (from.lines < Infinity) reach(from);
  const points: CorrectionPoint[] = [];
  for (let node: Node | null = columns[last]![0]!; node !== null; node = node.before)
    points.unshift({ input: node.input, output: node.output });
  return points.length > 1 ? points : null;

  /** Offers every corner that one line from here reaches inside the tube a chain through here. */
  function reach(from: Node): void {
    let lowest = 0;
    let steepest = Infinity;
    for (let input = from.input + 1; input <= last && lowest <= steepest; input++) {
      const run = input - from.input;
      for (const to of columns[input]!) {
        const slope = (to.output - from.output) / run;
        if (slope < lowest || slope > steepest || from.lines + 1 >= to.lines) continue;
        to.lines = from.lines + 1;
        to.before = from;
      }
      lowest = Math.max(lowest, (levels[input]! - within - from.output) / run);
      steepest = Math.min(steepest, (levels[input]! + within - from.output) / run);
    }
  }
}

function wholesBetween(lower: number, upper: number): number[] {
  const first = Math.ceil(lower);
  return Array.from({ length: Math.max(0, Math.floor(upper) - first + 1) }, (_, index) => first + index);
}

/** Points put where a smooth line is off most until it is near enough; then the needless ones are taken away. */
function smoothPoints(levels: readonly number[], within: number): CorrectionPoint[] | null {
  const last = levels.length - 1;
  const pointAt = (input: number): CorrectionPoint => ({ input, output: Math.round(levels[input]!) });
  let points = [pointAt(0), pointAt(last)];
  for (;;) {
    const off = distances(levels, points, "smooth");
    if (Math.max(...off) <= within) break;
    const taken = new Set(points.map(({ input }) => input));
    const place = placeOfNext(levels, off, taken);
    if (place === null || points.length >= mostSmoothPoints) return null;
    points = [...points, pointAt(place)].sort((a, b) => a.input - b.input);
  }
  for (let index = points.length - 2; index > 0; index--) {
    const fewer = points.filter((_point, at) => at !== index);
    if (farthest(levels, fewer, "smooth") <= within) points = fewer;
  }
  return points;
}

/** Free input nearest to where the line is off most whose output is nearly whole; that place itself otherwise. */
function placeOfNext(levels: readonly number[], off: readonly number[], taken: ReadonlySet<number>): number | null {
  let worst: number | null = null;
  for (let input = 0; input < off.length; input++)
    if (!taken.has(input) && (worst === null || off[input]! > off[worst]!)) worst = input;
  if (worst === null) return null;
  const toWhole = (input: number) => Math.abs(levels[input]! - Math.round(levels[input]!));
  for (let away = 0; away <= besideLevels; away++) {
    for (const input of [worst - away, worst + away]) {
      if (input <= 0 || input >= levels.length - 1 || taken.has(input)) continue;
      if (toWhole(input) <= nearWholeLevels) return input;
    }
  }
  return worst;
}
