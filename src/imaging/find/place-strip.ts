// Turns a group of edges into a strip: where its long edges, boundaries and ends lie, how sure that is, and what speaks
// for it. Numbers: common practice, no source (tuned on rendered scenes).
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import type { FindingEvidence } from "#shared/reading/corners/finding-confidence.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import { frameStrip, leanOfBoundaries, type FramedStrip } from "./framed-strip.ts";
import type { Field } from "./smoothed-field.ts";
import { otherCountOf } from "./other-count.ts";
import { withMiddleAt } from "./corner-perspective.ts";
import { longestFall } from "./longest-fall.ts";
import { pitchAt } from "./follow-boundaries.ts";
import { fallAt, meanAlong, type StripBand } from "./strip-band.ts";
import { numberings, type Numbering } from "./strip-numbering.ts";
import { frameToSmall, robustHeldLine, type StripFrame } from "./strip-frame.ts";

export interface FoundStrip {
  /** How boundaries lean along the frame. */
  readonly lean: readonly [number, number];
  /**
   * The usual number of steps that explains the strip better than the declared one; asked for only where it is needed.
   */
  readonly otherCount: () => number | null;

  /** Corners in small pixels, step 1 (dark) first. */
  readonly corners: Corners;
  readonly evidence: FindingEvidence;
}

/** Corners are checked for shape only; whether they lie in the picture is asked later. */
export const everywhere = { width: Infinity, height: Infinity, steps: 1 };
/** Margin where no other numbering can be. */
export const widestMargin = 20;
/** Steps may get darker again by this much (log10) and still count as falling. */
export const fallSlack = 0.02;
/**
 * Places a strip on a group of edges.
 * @param field blueness, or darkness for grey pictures
 * @param steps declared number of steps
 * @returns null when nothing strip-like remains
 */
export function placeStrip(field: Field, group: EdgeGroup, steps: number): FoundStrip | null {
  const framed = frameStrip(field, group, steps);
  if (framed === null) return null;
  const [best, second] = numberings(framed, steps);
  return best === undefined ? null : stripOf(framed, steps, best, second);
}

/** The strip that one numbering of the boundaries makes, compared with its rival. */
export function stripOf(
  framed: FramedStrip,
  steps: number,
  best: Numbering,
  second: Numbering | undefined,
): FoundStrip | null {
  const { frame, edges, band, comb } = framed;
  const { course } = best;
  const rise = best.ends.reduce((most, end) => (Math.abs(end.rise) > Math.abs(most.rise) ? end : most), {
    s: null as number | null,
    rise: 0,
  });
  const { lean, sigmaAt: leanSigmaAt } = leanOfBoundaries(framed, steps, rise.rise > 0 ? rise.s : null);
  const corners = cornersOfCourse({ ...frame, lean }, course.placeOf, steps);
  if (
    corners.some((point) => point.some((value) => !Number.isFinite(value))) ||
    cornerTrouble(corners, everywhere) !== null
  )
    return null;
  const cornerSigma = (k: number) => {
    const { s, sigma } = course.at(k);
    const halfHeight = (frame.bottom[0] + frame.bottom[1] * s - frame.top[0] - frame.top[1] * s) / 2;
    return Math.hypot(sigma, leanSigmaAt(s) * halfHeight) / course.pitchAt(k);
  };
  const means = Array.from({ length: steps }, (_, i) =>
    meanAlong(band, band.sums, course.placeOf(i + 0.25), course.placeOf(i + 0.75)),
  ).filter((value) => !Number.isNaN(value));
  const numbers = comb.boundaries.map((b) => b.k - course.startK);
  return {
    corners,
    lean,
    otherCount: () => otherCountOf(framed, steps, best),
    evidence: {
      boundaries: numbers.filter((k) => k > 0 && k < steps).length,
      gapShare: gapShareOf(numbers.filter((k) => k > 0 && k < steps)),
      boundariesBeyond: numbers.filter((k) => k < 0 || k > steps).length,
      residualSteps: course.residualSteps,
      leapSteps: course.leapSteps(),
      bowSigmas: course.bowSigmas,
      edgeSupport: Math.min(edges[0].support, edges[1].support),
      countMargin: (second?.cost ?? best.cost + widestMargin) - best.cost,
      unexplained: best.unexplained,
      foretoldSigmaSteps: best.foretoldSigmaSteps,
      foretoldOffSteps: best.foretoldOffSteps,
      ...sharesOfRows(framed),
      besideTone: Math.max(...tonesBeside(band, course.placeOf, steps)),
      cornerSigmaSteps: Math.max(...[0, steps].map(cornerSigma)),
      fallingShare:
        longestFall(
          means.map((mean) => ({ low: mean, high: mean })),
          Math.max(fallSlack, 2 * comb.noise),
        ) / steps,
      fall: spreadOf(means),
      edgeStrength: Math.min(edges[0].strength, edges[1].strength),
    },
  };
}

/** Share of the boundaries between the first and the last of those seen that is not seen. @param seen their numbers */
export function gapShareOf(seen: readonly number[]): number {
  if (seen.length < 2) return 0;
  return 1 - seen.length / (Math.max(...seen) - Math.min(...seen) + 1);
}

/** The boundaries are looked at in so many rows next to either long edge; in the better of them they are seen. */
const outerRows = 2;
const rowHalfShare = 0.3;

/**
 * Share of the boundaries' fall that is seen just within and just beyond the long edges, at the worse of the two: a
 * frame that is too high has rows beside the strip, which show none; beside one that is too low the strip goes on.
 */
function sharesOfRows({
  band,
  comb: { grid, boundaries },
}: FramedStrip): Pick<FindingEvidence, "rowShare" | "besideShare"> {
  const fallOf = (sums: Float64Array): number =>
    boundaries.reduce((sum, { s, k, fall }) => {
      const half = rowHalfShare * pitchAt(grid, k);
      return sum + Math.min(Math.max(fallAt(band, s, half, sums), -fall), 1.5 * fall);
    }, 0);
  const whole = fallOf(band.sums);
  const shareOf = (rows: readonly Float64Array[]): number => Math.max(...rows.map(fallOf)) / Math.max(whole, 1e-9);
  return {
    rowShare: Math.min(shareOf(band.plainRowSums.slice(0, outerRows)), shareOf(band.plainRowSums.slice(-outerRows))),
    besideShare: shareOf(band.beside),
  };
}

/** Tones beside a strip scatter about a trend by so much (log10), whose slope is held by no more than this. */
const toneNoise = 0.03;
const widestSlope = 10;

/** How far tones follow those of the steps beside them: slope of a robust line. @param pairs step and beside (log10) */
export const followedShare = (pairs: readonly (readonly [step: number, beside: number])[]): number =>
  robustHeldLine(
    pairs.map(([step, beside]) => [step, beside, 1]),
    widestSlope,
    toneNoise,
  )[1];

/**
 * How the tones just beyond either long edge follow those of the steps beside them: 0 on paper or in one coating, 1
 * where the steps go on beyond the edge.
 * @param placeOf place along the strip of boundary k, from 0 at the dark end [small px]
 */
export function tonesBeside(band: StripBand, placeOf: (k: number) => number, steps: number): [number, number] {
  const cells = Array.from({ length: steps }, (_, k) => [placeOf(k + 0.25), placeOf(k + 0.75)] as const);
  const tonesOf = (sums: Float64Array): number[] => cells.map(([from, to]) => meanAlong(band, sums, from, to));
  const inside = tonesOf(band.sums);
  const followed = (sums: Float64Array): number => {
    const pairs = tonesOf(sums).flatMap((tone, k) =>
      Number.isNaN(tone) || Number.isNaN(inside[k]!) ? [] : [[inside[k]!, tone] as const],
    );
    return pairs.length < 3 ? 0 : followedShare(pairs);
  };
  return [followed(band.beside[0]), followed(band.beside[1])];
}

/** Corners of a strip whose boundaries lie at given places along its frame, the dark end first [small px]. */
export function cornersOfCourse(frame: StripFrame, placeOf: (k: number) => number, steps: number): Corners {
  const corner = (k: number, edge: readonly [number, number]): PointPx => {
    const s = placeOf(k);
    const leanThere = frame.lean[0] + frame.lean[1] * s;
    const t = (edge[0] + edge[1] * s) / (1 - edge[1] * leanThere);
    return frameToSmall(frame, s + leanThere * t, t);
  };
  const corners: Corners = [
    corner(0, frame.top),
    corner(steps, frame.top),
    corner(steps, frame.bottom),
    corner(0, frame.bottom),
  ];
  if (corners.some((point) => point.some((value) => !Number.isFinite(value)))) return corners;
  const middleS = placeOf(steps / 2);
  const half = (frame.top[0] + frame.top[1] * middleS + frame.bottom[0] + frame.bottom[1] * middleS) / 2;
  const lean = frame.lean[0] + frame.lean[1] * middleS;
  return withMiddleAt(corners, frameToSmall(frame, middleS + lean * half, half));
}

/** From the tenth lowest to the tenth highest of a hundred values; a sticker on one step has no say. */
export function spreadOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const tenth = Math.floor(sorted.length / 10);
  return sorted.length === 0 ? 0 : sorted.at(-1 - tenth)! - sorted[tenth]!;
}
