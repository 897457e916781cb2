// Turns a group of edges into a strip: where its long edges, boundaries and ends lie, how sure that is, and what speaks for it.
// Numbers: common practice, no source (tuned on rendered scenes).
import { cornerTrouble } from "#shared/reading/corner-trouble.ts";
import type { FindingEvidence } from "#shared/reading/finding-confidence.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import { fitPlaces, type FittedPlaces } from "./fit-places.ts";
import { frameStrip, leanOfBoundaries, type FramedStrip } from "./framed-strip.ts";
import type { Field } from "./small-picture.ts";
import { gridIndex, leastRiseOfEnd, type StepComb } from "./step-comb.ts";
import { meanAlong } from "./strip-band.ts";
import { endNextTo, farEnd, type EndKind } from "./strip-ends.ts";
import { frameToSmall, type StripFrame } from "./strip-frame.ts";

export interface FoundStrip {
  /** Corners in small pixels, step 1 (dark) first. */
  readonly corners: Corners;
  readonly evidence: FindingEvidence;
}

/** Corners are checked for shape only; whether they lie in the picture is asked later. */
const everywhere = { width: Infinity, height: Infinity, steps: 1 };
/** An end rises this many times the noise. */
const riseOverNoise = 4;
/** Steps may get darker again by this much (log10) and still count as falling. */
const fallSlack = 0.02;
/**
 * Places a strip on a group of edges.
 * @param field blueness, or darkness for grey pictures
 * @param steps declared number of steps
 * @returns null when nothing strip-like remains
 */
export function placeStrip(field: Field, group: EdgeGroup, steps: number): FoundStrip | null {
  const framed = frameStrip(field, group, steps);
  return framed === null ? null : strip(framed, steps);
}

function strip(framed: FramedStrip, steps: number): FoundStrip | null {
  const { frame, edges, band, comb } = framed;
  const leastRise = Math.max(riseOverNoise * comb.noise, leastRiseOfEnd(comb.boundaries));
  const dark = endNextTo(band, comb, { kind: "dark", steps, leastRise });
  const pale = endNextTo(band, comb, { kind: "pale", steps, leastRise });
  const relied: EndKind =
    dark !== null && (pale === null || Math.abs(dark.contrast) >= Math.abs(pale.contrast)) ? "dark" : "pale";
  const end = relied === "dark" ? dark : pale;
  const farK = relied === "dark" ? steps : 0;
  const farS = end === null ? null : farEnd(band, comb, relied === "dark" ? "pale" : "dark");
  const [best, second] = coursesFrom(framed, steps, { kind: relied, endS: end?.s ?? null, farS });
  const corners = cornersOf(frame, end === null ? frame.lean : leanOfBoundaries(framed, steps, end.s), best, steps);
  if (
    corners.some((point) => point.some((value) => !Number.isFinite(value))) ||
    cornerTrouble(corners, everywhere) !== null
  )
    return null;
  const means = Array.from({ length: steps }, (_, i) =>
    meanAlong(band, band.sums, best.at(i + 0.25).s, best.at(i + 0.75).s),
  ).filter((value) => !Number.isNaN(value));
  const numbers = comb.boundaries.map((b) => b.k - best.startK);
  return {
    corners,
    evidence: {
      boundaries: numbers.filter((k) => k > 0 && k < steps).length,
      boundariesBeyond: numbers.filter((k) => k < 0 || k > steps).length,
      residualSteps: best.residualSteps,
      darkEnd: dark !== null,
      paleEnd: pale !== null,
      stepsBetweenEnds:
        dark !== null && pale !== null ? Math.round(nearestK(comb, pale.s) - nearestK(comb, dark.s)) : null,
      stepsToFarEnd:
        farS === null
          ? null
          : steps + (relied === "dark" ? 1 : -1) * Math.round((farS - best.at(farK).s) / best.pitchAt(farK)),
      countMargin: second === undefined ? 0 : second.cost - best.cost,
      endSigmaSteps: Math.max(best.at(0).sigma / best.pitchAt(0), best.at(steps).sigma / best.pitchAt(steps)),
      fallingShare: longestFall(means, Math.max(fallSlack, 2 * comb.noise)) / steps,
      fall: spreadOf(means),
      edgeStrength: Math.min(edges[0].strength, edges[1].strength),
    },
  };
}

/** Courses of the boundaries, likeliest first: counted from the seen end, and from a step before and after it; without an end, one about the middle. */
function coursesFrom(
  { comb, shrink }: FramedStrip,
  steps: number,
  { kind, endS, farS }: { readonly kind: EndKind; readonly endS: number | null; readonly farS: number | null },
): [FittedPlaces, ...FittedPlaces[]] {
  const shared = { steps, expectedShrink: shrink.expected, shrinkSigma: shrink.sigma, farS };
  if (endS === null) {
    const middleK = (comb.boundaries[0]!.k + comb.boundaries.at(-1)!.k) / 2;
    return [fitPlaces(comb, { ...shared, startK: Math.round(middleK - steps / 2), end: null })];
  }
  const nearest = Math.round(nearestK(comb, endS));
  const course = (k: number) =>
    fitPlaces(comb, { ...shared, startK: kind === "dark" ? k : k - steps, end: { k, s: endS } });
  const courses: [FittedPlaces, ...FittedPlaces[]] = [course(nearest), course(nearest - 1), course(nearest + 1)];
  return courses.sort((a, b) => a.cost - b.cost);
}

function cornersOf(frame: StripFrame, lean: readonly [number, number], course: FittedPlaces, steps: number): Corners {
  const corner = (k: number, edge: readonly [number, number]): PointPx => {
    const { s } = course.at(k);
    const leanThere = lean[0] + lean[1] * s;
    const t = (edge[0] + edge[1] * s) / (1 - edge[1] * leanThere);
    return frameToSmall(frame, s + leanThere * t, t);
  };
  return [corner(0, frame.top), corner(steps, frame.top), corner(steps, frame.bottom), corner(0, frame.bottom)];
}

/** Boundary number at a place, as the nearest seen boundaries have it. */
function nearestK({ grid, boundaries }: StepComb, s: number): number {
  const near = [...boundaries].sort((a, b) => Math.abs(a.s - s) - Math.abs(b.s - s)).slice(0, 4);
  const shift = near.reduce((sum, b) => sum + (gridIndex(grid, b.s) - b.k), 0) / near.length;
  return gridIndex(grid, s) - shift;
}

/** From the tenth lowest to the tenth highest of a hundred values; a sticker on one step has no say. */
function spreadOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const tenth = Math.floor(sorted.length / 10);
  return sorted.length === 0 ? 0 : sorted.at(-1 - tenth)! - sorted[tenth]!;
}

/** Most values that can be kept so that each is no higher than the one before by more than the slack. */
function longestFall(values: readonly number[], slack: number): number {
  const longest: number[] = [];
  values.forEach((value, i) => {
    longest[i] = 1;
    for (let j = 0; j < i; j++) if (value <= values[j]! + slack) longest[i] = Math.max(longest[i]!, longest[j]! + 1);
  });
  return Math.max(0, ...longest);
}
