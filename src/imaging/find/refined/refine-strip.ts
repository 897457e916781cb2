// A strip that was found, fitted once more as a whole: where all its lines agree it lies, which of its steps is the
// first, and what speaks for it there. Numbers: common practice, no source (rendered scenes).
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import type { FindingEvidence } from "#shared/reading/corners/finding-confidence.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { median } from "#shared/statistics/robust.ts";
import { greatestLeap } from "#src/imaging/find/fit-places.ts";
import { settleHalfShare, steepestPlace, type StepComb } from "#src/imaging/find/follow-boundaries.ts";
import { longestFall } from "#src/imaging/find/longest-fall.ts";
import {
  everywhere,
  fallSlack,
  gapShareOf,
  spreadOf,
  tonesBeside,
  widestMargin,
} from "#src/imaging/find/place-strip.ts";
import { boundaryAt, fallAt, lineAt, meanAlong } from "#src/imaging/find/strip-band.ts";
import { cellsAlong, extentCost, isCoatingAround } from "#src/imaging/find/strip-extent.ts";
import {
  costOfBoundaryBeyond,
  endHalfShare,
  endShareOfFall,
  leastFallJudged,
  leastRiseOfEnd,
  rimRise,
  worthOfEnd,
} from "#src/imaging/find/strip-numbering.ts";
import type { SeenBoundary } from "./observe-boundaries.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import { fitShape, type FittedShape } from "./fit-shape.ts";
import { levelBand, type LevelBand } from "./level-band.ts";
import type { Covariance } from "./paper-or-cloth.ts";
import { cornersOfShape, shapeOfCorners, shifted, sizeOf } from "./strip-shape.ts";

export interface RefinedStrip {
  /** Corners in small pixels, step 1 (dark) first. */
  readonly corners: Corners;
  readonly evidence: FindingEvidence;
  /** Whether the dark or the pale end is seen where all else foretells it. */
  readonly isEndSeen: boolean;
}

/** Steps beyond either end that are looked at, and by how many the strip may have been counted wrong. */
const lookBeyond = 6;
const mostShift = 2;
/** An end is looked for within this share of a step. */
const endReach = 0.2;

/**
 * Fits a strip as a whole, and counts it again.
 * @param isNear whether it lies very nearly where it is
 * @returns null when its lines do not make one
 */
export function refinedStrip(field: Field, corners: Corners, steps: number, isNear = false): RefinedStrip | null {
  let fitted = fitShape(field, shapeOfCorners(corners), steps, isNear);
  if (fitted === null || !isQuad(fitted)) return null;
  let counted = countedAgain(field, fitted, steps);
  if (counted.shift !== 0) {
    fitted = fitShape(field, shifted(fitted.shape, counted.shift, steps, field), steps);
    if (fitted === null || !isQuad(fitted)) return null;
    counted = countedAgain(field, fitted, steps);
  }
  return {
    corners: cornersOfShape(fitted.shape),
    evidence: evidenceOf(fitted, counted, steps),
    isEndSeen: fitted.isEndSeen.includes(true),
  };
}

const isQuad = ({ shape }: FittedShape): boolean => cornerTrouble(cornersOfShape(shape), everywhere) === null;

interface Counted {
  readonly level: LevelBand;
  /** By how many steps the strip should be moved for its cells to be the steps. */
  readonly shift: number;
  /** What the strip as it lies leaves unexplained, and how much more the next best count would. */
  readonly unexplained: number;
  readonly margin: number;
  readonly comb: StepComb;
}

/** Judges the counts that put the first step a little further on or back. */
function countedAgain(field: Field, { shape, seen }: FittedShape, steps: number): Counted {
  const level = levelBand(field, shape, { steps, beyond: lookBeyond, isBesideSeen: true });
  const { band, perStep } = level;
  const { noise } = seen;
  const comb = combBeyond(level, seen, steps);
  const tones = tonesOf(level, steps, 0);
  const fall = Math.max(leastFallJudged, Math.max(...tones) - Math.min(...tones));
  const riseOfEnd = Math.max(leastRiseOfEnd, endShareOfFall * fall);
  const riseAt = (k: number): number =>
    mostNear(k, endReach, (at) => -fallAt(band, at * perStep, endHalfShare * perStep));
  const cellOf = cellsAlong(band, (k) => k * perStep);
  // Where the coating goes on beyond the dark end, what rises there is its brush edge.
  const isCoated = isCoatingAround(cellOf, { steps, fall, noise });
  const boundaries = Array.from({ length: steps - 1 }, (_, i) => (i + 1) * perStep);
  const rim = isCoated ? rimRise(band, boundaries, perStep) : () => 0;
  const rimNear = (k: number): number => mostNear(k, endReach, (at) => rim(at * perStep));
  const worthAt = (k: number, isPale: boolean): number => {
    const rise = Math.max(riseAt(k), isPale ? rimNear(k) : 0);
    return worthOfEnd({ s: rise > riseOfEnd ? k * perStep : null, rise }, { isPale, isCoated, fall });
  };
  const worthOfEnds = (shift: number): number => Math.max(worthAt(shift, false), worthAt(steps + shift, true));
  const costOfLines = costOfMissingLines(level, noise, steps);
  const counts = Array.from({ length: 2 * mostShift + 1 }, (_, i) => {
    const shift = i - mostShift;
    const beyond = comb.boundaries.filter(({ k }) => k < shift || k > steps + shift).length;
    const unexplained = extentCost((k) => cellOf(k + shift), { steps, fall, noise }) + costOfBoundaryBeyond * beyond;
    return { shift, unexplained, cost: unexplained - worthOfEnds(shift) + costOfLines(shift) };
  });
  const here = counts[mostShift]!;
  const others = counts.filter(({ shift }) => shift !== 0).sort((a, b) => a.cost - b.cost);
  const best = others[0]!.cost < here.cost ? others[0]! : here;
  return {
    level,
    shift: best.shift,
    unexplained: here.unexplained,
    margin: Math.min(widestMargin, others[0]!.cost - here.cost),
    comb,
  };
}

/** Boundaries are looked for so far apart, in steps. */
const lookEvery = 0.05;

/** The most of what is seen near a boundary, and no less than nothing. @param reach in steps */
function mostNear(k: number, reach: number, seenAt: (at: number) => number): number {
  let most = 0;
  for (let off = -reach; off <= reach; off += lookEvery) most = Math.max(most, seenAt(k + off));
  return most;
}

/** What a line costs that is missing between two steps. */
const missingLine = 1.5;
/** So many of the outermost boundaries at an end are looked at, and all show a line that stands out from grain. */
const outermost = 3;
const lineOverNoise = 4;
/** One that is missing stands out by less than this share of the faintest of them, within this share of a step. */
const likeOtherLines = 0.5;
const lineNear = 0.15;

/** What counts cost that put steps side by side without a line, where lines lie between the others at that end. */
function costOfMissingLines({ band, perStep }: LevelBand, noise: number, steps: number): (shift: number) => number {
  const lineOf = (k: number): number => mostNear(k, lineNear, (at) => lineAt(band, at * perStep, perStep));
  const faintest = (from: number): number => Math.min(...Array.from({ length: outermost }, (_, i) => lineOf(from + i)));
  const atEnd = [faintest(1), faintest(steps - outermost)] as const;
  const missingAt = (k: number): number => {
    const usual = atEnd[k < steps / 2 ? 0 : 1];
    return usual > lineOverNoise * noise && lineOf(k) < likeOtherLines * usual ? missingLine : 0;
  };
  return (shift) => {
    let cost = 0;
    for (let k = 1 + shift; k < steps + shift; k++) if (k < 1 || k >= steps) cost += missingAt(k);
    return cost;
  };
}

/** The boundaries between the steps, with those that go on in line beyond the ends. */
function combBeyond({ band, perStep }: LevelBand, { boundaries, noise }: FittedShape["seen"], steps: number): StepComb {
  const falls = boundaries.map(({ fall }) => fall).sort((a, b) => a - b);
  const least = Math.max(0.005, 3.5 * noise, 0.3 * (falls[falls.length >> 1] ?? 0));
  const half = settleHalfShare * perStep;
  const all = boundaries.map(({ k, fall }) => ({ k, fall, s: k * perStep, sigma: 0 }));
  for (const way of [-1, 1] as const) {
    for (let far = 1; far < lookBeyond; far++) {
      const k = way < 0 ? -far : steps + far;
      const place = steepestPlace((s) => boundaryAt(band, s, half, perStep), k * perStep, half, endReach * perStep);
      if (place === null || place.fall < least) break;
      all.push({ k, fall: place.fall, s: place.s, sigma: 0 });
    }
  }
  return { grid: { start: 0, pitch: perStep, shrink: 0 }, boundaries: all.sort((a, b) => a.k - b.k), noise };
}

function tonesOf({ band, perStep }: LevelBand, steps: number, shift: number): number[] {
  return Array.from({ length: steps }, (_, k) =>
    meanAlong(band, band.sums, (k + shift + 0.25) * perStep, (k + shift + 0.75) * perStep),
  );
}

function evidenceOf(
  { shape, uncertainty, seen, departuresSteps, foretold }: FittedShape,
  { level, unexplained, margin, comb }: Counted,
  steps: number,
): FindingEvidence {
  const { band, perStep } = level;
  const tones = tonesOf(level, steps, 0);
  const pitchPx = sizeOf(shape).length / steps;
  const inside = comb.boundaries.filter(({ k }) => k > 0 && k < steps);
  return {
    boundaries: inside.length,
    gapShare: gapShareOf(inside.map(({ k }) => k)),
    boundariesBeyond: comb.boundaries.length - inside.length,
    residualSteps: Math.sqrt(
      departuresSteps.reduce((sum, off) => sum + Math.min(Math.abs(off), 0.5) ** 2, 0) /
        Math.max(1, departuresSteps.length),
    ),
    leapSteps: greatestLeap(departuresSteps),
    bowSigmas: 0,
    edgeSupport: Math.min(...seen.edgeShares),
    countMargin: margin,
    unexplained,
    foretoldSigmaSteps: foretold.sigmaSteps,
    foretoldOffSteps: foretold.offSteps,
    ...sharesOfRows(level, seen.boundaries),
    besideTone: Math.max(...tonesBeside(band, (k) => k * perStep, steps)),
    cornerSigmaSteps: greatestCornerSigma(uncertainty.onPaper) / pitchPx,
    cloth: {
      share: uncertainty.clothShare,
      cornerSigmaSteps: greatestCornerSigma(uncertainty.onCloth) / pitchPx,
    },
    fallingShare:
      longestFall(
        tones.map((tone) => ({ low: tone, high: tone })),
        Math.max(fallSlack, 2 * seen.noise),
      ) / steps,
    fall: spreadOf(tones),
    edgeStrength: seen.edgeStrength,
  };
}

/** In so many rows next to either long edge the boundaries are looked for; the better of them counts. */
const outerRows = 2;
/** A line is looked at over these shares of a step: itself, and the tones on either side. */
const lineHalf = 0.08;
const besideLine: LineSides = [0.15, 0.3];
/** ... and in one row it may lie so far, in steps, from where it lies in the middle. */
const linesLean = 0.12;
/** Numbers printed in a row leave as they are so great a share of the steps on either side of a boundary. */
const leftByNumbers = 0.15;
const besideLineLeft: LineSides = [0.1, 0.2];
type LineSides = readonly [from: number, to: number];

/** Share of what marks the boundaries that is seen just within and just beyond the long edges, at the worse one. */
function sharesOfRows(
  { band, perStep }: LevelBand,
  boundaries: readonly SeenBoundary[],
): Pick<FindingEvidence, "rowShare" | "besideShare"> {
  const lineDepth = (sums: Float64Array, s: number, lineSides: LineSides = besideLine): number => {
    const mean = (from: number, to: number) => meanAlong(band, sums, s + from * perStep, s + to * perStep);
    const sides = (mean(-lineSides[1], -lineSides[0]) + mean(lineSides[0], lineSides[1])) / 2;
    return mean(-lineHalf, lineHalf) - sides;
  };
  const middleRows = band.rowSums.slice(outerRows, -outerRows);
  const fallIn = (sums: Float64Array, s: number, half = settleHalfShare): number =>
    fallAt(band, s, half * perStep, sums);
  const marks = boundaries.map(({ k, isLine }) => {
    const s = k * perStep;
    const whole = isLine ? median(middleRows.map((sums) => lineDepth(sums, s))) : fallIn(band.sums, s);
    return { k, s, isLine, size: Math.abs(whole), sign: Math.sign(whole) };
  });
  const total = marks.reduce((sum, { size }) => sum + size, 0);
  /** @param seen how much of a mark is seen, the way that it changes the tones */
  const shareOf = (seen: (mark: (typeof marks)[number]) => number): number =>
    marks.reduce((sum, mark) => sum + Math.min(Math.max(seen(mark), -mark.size), 1.5 * mark.size), 0) /
    Math.max(total, 1e-9);
  const inRow = (lines: Float64Array, plain: Float64Array): number =>
    shareOf(({ k, s, isLine, sign }) => {
      const depthAt = (at: number): number =>
        Math.max(...[besideLine, besideLineLeft].map((sides) => sign * lineDepth(lines, at * perStep, sides)));
      return isLine
        ? mostNear(k, linesLean, depthAt)
        : Math.max(sign * fallIn(plain, s), sign * fallIn(lines, s, leftByNumbers));
    });
  const beside = (sums: Float64Array): number =>
    shareOf(({ s, isLine, sign }) => sign * (isLine ? lineDepth(sums, s) : fallIn(sums, s)));
  const rows = band.rowSums.map((lines, i) => inRow(lines, band.plainRowSums[i]!));
  return {
    rowShare: Math.min(Math.max(...rows.slice(0, outerRows)), Math.max(...rows.slice(-outerRows))),
    besideShare: Math.max(...band.beside.map(beside)),
  };
}

/** Standard uncertainty of the least certain corner in its least certain direction [small px]. */
function greatestCornerSigma(covariance: Covariance): number {
  const variances = [0, 2, 4, 6].map((i) => {
    const [xx, xy, yy] = [covariance[i]![i]!, covariance[i]![i + 1]!, covariance[i + 1]![i + 1]!];
    return (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  });
  return Math.sqrt(Math.max(...variances));
}
