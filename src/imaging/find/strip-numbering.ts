// Which boundary along a strip is its first: every numbering is fitted and judged by what it leaves unexplained.
// Numbers: common practice, no source (tuned on rendered scenes).
import { median } from "#shared/statistics/robust.ts";
import { fitPlaces, type FittedPlaces, type MarkedPlace } from "./fit-places.ts";
import type { FramedStrip } from "./framed-strip.ts";
import { fallAt, meanAlong, riseInRows, type StripBand } from "./strip-band.ts";
import { cellsAlong, extentCost, isCoatingAround, type CellOf } from "./strip-extent.ts";

/** An end of the strip rises by at least this much (log10), and by this share of the fall over the boundaries. */
export const leastRiseOfEnd = 0.05;
export const endShareOfFall = 0.25;
/** ... over this share of the pitch, at most so many steps from where the boundaries foretell it. */
export const endHalfShare = 0.3;
const endReach = 0.5;
/** A strip is judged as if it fell at least this much (log10). */
export const leastFallJudged = 0.15;
/** Steps by which a numbering may reach beyond the boundaries that were seen, more than it has to. */
const spareSteps = 2;
/** Numberings looked at closely. */
const numberingsTried = 12;
/** What a boundary beyond an end costs, and what a course that does not fit its boundaries does. */
export const costOfBoundaryBeyond = 1.5;
const courseWeight = 0.12;
/** What an end that is seen where the boundaries foretell it is worth. */
export const seenEndWorth = 1.5;
/** Weight of the squared departures of marks, in standard uncertainties, and the most that they cost. */
const markWeight = 0.25;
const mostForMarks = 1.5;

/** A rim rises so many times as much as what lies between steps does. */
const overUsualRise = 3;
/** The pale end against coating is plain where the tones rise by so great a share of the whole fall; its worth. */
const plainEnd = 0.5;
const worthOfPlainEnd = 4;

/** What an end that is seen is worth: where coating goes on beyond the dark one, what rises there is its brush edge. */
export function worthOfEnd(
  { s, rise }: SeenEnd,
  { isPale, isCoated, fall }: { readonly isPale: boolean; readonly isCoated: boolean; readonly fall: number },
): number {
  if (s === null || (isCoated && !isPale)) return 0;
  return isCoated && rise > plainEnd * fall ? worthOfPlainEnd : seenEndWorth;
}

/** A narrow rim of coating beyond the pale end rises over this share of the pitch. */
const rimHalfShare = 0.15;

/**
 * How much the field rises at a place to a rim of coating, so narrow that it would pass for a line between steps; 0
 * where lines between the steps rise as much.
 * @param boundaries places of boundaries between steps along the band
 */
export function rimRise(band: StripBand, boundaries: readonly number[], pitch: number): (s: number) => number {
  const half = rimHalfShare * pitch;
  const usual = boundaries.length === 0 ? 0 : median(boundaries.map((s) => riseInRows(band, s, half)));
  return (s) => {
    const rise = riseInRows(band, s, half);
    return rise > overUsualRise * usual ? rise : 0;
  };
}

interface SeenEnd {
  /** Place along the strip [small px]; null when no end is seen there. */
  readonly s: number | null;
  /** How much the field rises there. */
  readonly rise: number;
}

export interface Numbering {
  readonly course: FittedPlaces;
  readonly ends: readonly [SeenEnd, SeenEnd];
  /** How well the boundaries foretold the end that the numbering relies on, in steps; 0 without one. */
  readonly foretoldSigmaSteps: number;
  /** How far from there it is seen, in steps. */
  readonly foretoldOffSteps: number;
  /** Cells and boundaries that the numbering leaves unexplained. */
  readonly unexplained: number;
  /** ... with what the course and the ends say; compares numberings. */
  readonly cost: number;
}

/**
 * Numberings of the boundaries that leave least unexplained, best first.
 * @param marks ends that were marked by hand: they say, as far as they are good, which numbering is meant, and where an
 *   end lies that nothing shows
 */
export function numberings(
  framed: FramedStrip,
  steps: number,
  { tried = numberingsTried, marks = [] }: { readonly tried?: number; readonly marks?: readonly MarkedPlace[] } = {},
): Numbering[] {
  const { band, comb, shrink } = framed;
  const shared = { steps, expectedShrink: shrink.expected, shrinkSigma: shrink.sigma, farS: null };
  const [firstK, lastK] = [comb.boundaries[0]!.k, comb.boundaries.at(-1)!.k];
  const fall = Math.max(leastFallJudged, fallOverBoundaries(framed));
  const judge = (cellOf: CellOf, startK: number): number => {
    const beyond = comb.boundaries.filter((b) => b.k < startK || b.k > startK + steps).length;
    return extentCost(cellOf, { steps, fall, noise: comb.noise }) + costOfBoundaryBeyond * beyond;
  };
  // Screened on one course for all, then the likeliest ones each on their own.
  const middle = fitPlaces(comb, { ...shared, startK: Math.round((firstK + lastK - steps) / 2), end: null });
  const cellOf = cellsAlong(band, middle.placeOf);
  const isCoated = isCoatingAround((k) => cellOf(firstK - middle.startK + k), {
    steps: Math.max(1, lastK - firstK),
    fall,
    noise: comb.noise,
  });
  const seen = comb.boundaries.map(({ s }) => s);
  const rim = isCoated ? rimRise(band, seen, comb.grid.pitch) : () => 0;
  const rough: { startK: number; cost: number }[] = [];
  const [from, to] = [Math.min(firstK, lastK - steps) - spareSteps, Math.max(lastK - steps, firstK) + spareSteps];
  for (let startK = from; startK <= to; startK++)
    rough.push({ startK, cost: judge((k) => cellOf(startK - middle.startK + k), startK) });
  rough.sort((a, b) => a.cost - b.cost);
  return rough
    .slice(0, tried)
    .map(({ startK }) => {
      const alone = fitPlaces(comb, { ...shared, startK, end: null });
      const unseen = marks.length === 0 ? alone : fitPlaces(comb, { ...shared, startK, end: null, marks });
      const ends = [seenEnd(band, unseen, 0, fall), seenEnd(band, unseen, steps, fall, rim)] as const;
      const k = ends[0].rise >= ends[1].rise && !(isCoated && ends[1].s !== null) ? 0 : steps;
      const { s } = ends[k === 0 ? 0 : 1];
      const course = s === null ? unseen : fitPlaces(comb, { ...shared, startK, end: { k: startK + k, s }, marks });
      const unexplained = judge(cellsAlong(band, course.placeOf), startK);
      return {
        course,
        ends,
        foretoldSigmaSteps: s === null ? 0 : unseen.at(k).sigma / unseen.pitchAt(k),
        foretoldOffSteps: s === null ? 0 : Math.abs(s - unseen.placeOf(k)) / unseen.pitchAt(k),
        unexplained,
        cost:
          unexplained +
          courseWeight * course.cost -
          worthOfEnd(ends[k === 0 ? 0 : 1], { isPale: k > 0, isCoated, fall }) +
          costOfMarks(alone, marks),
      };
    })
    .sort((a, b) => a.cost - b.cost);
}

/** What marks cost that lie off where the boundaries alone foretell them; people take one step for its neighbour. */
function costOfMarks(alone: FittedPlaces, marks: readonly MarkedPlace[]): number {
  const squares = marks.reduce((sum, { number, s, sigma }) => {
    const place = alone.at(number);
    return sum + ((s - place.s) / Math.hypot(sigma, place.usualSigma)) ** 2;
  }, 0);
  return Math.min(markWeight * squares, mostForMarks);
}

/** How much the field falls from the darkest to the palest cell between boundaries. */
export function fallOverBoundaries({ band, comb: { boundaries } }: FramedStrip): number {
  const cells = boundaries.slice(1).map((b, i) => meanAlong(band, band.sums, boundaries[i]!.s, b.s));
  const known = cells.filter((value) => !Number.isNaN(value));
  return known.length === 0 ? 0 : Math.max(...known) - Math.min(...known);
}

/**
 * The end of the strip near its expected place, where the field rises by enough.
 * @param rimAt the rise to a rim of coating
 */
function seenEnd(
  band: StripBand,
  course: FittedPlaces,
  k: number,
  fall: number,
  rimAt: (s: number) => number = () => 0,
): SeenEnd {
  const expected = course.at(k);
  const pitch = course.pitchAt(k);
  const half = endHalfShare * pitch;
  const reach = Math.min(endReach, 0.15 + (3 * expected.sigma) / pitch) * pitch;
  const stepPx = Math.max(0.25, pitch / 40);
  let best: { s: number | null; rise: number } = { s: null, rise: Math.max(leastRiseOfEnd, endShareOfFall * fall) };
  for (let s = expected.s - reach; s <= expected.s + reach; s += stepPx) {
    const rise = Math.max(-fallAt(band, s, half), rimAt(s));
    if (rise > best.rise) best = { s, rise };
  }
  return best.s === null ? { s: null, rise: 0 } : best;
}
