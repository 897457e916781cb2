// The shape of a strip that all it shows agree on: boundaries at even pitch, straight long edges and ends, in one
// perspective. Numbers: common practice, no source (rendered scenes).
import { dotProduct } from "#shared/statistics/dot-product.ts";
import { leastSquaresSolution, linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { median, robustSigma } from "#shared/statistics/robust.ts";
import { varianceOfSum } from "#shared/statistics/variance-of-sum.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import type { Observation } from "./observation.ts";
import { observeShape, type ShapeObservations } from "./observe-shape.ts";
import {
  bendTerm,
  cornerTerms,
  lensTerm,
  nudged,
  perspectiveOf,
  placesOf,
  shapeTerms,
  sizeOf,
  stretchTerms,
  type PictureSize,
  type StripShape,
} from "./strip-shape.ts";
import { ofPaperOrCloth, type EitherFit } from "./paper-or-cloth.ts";

export interface FittedShape {
  readonly shape: StripShape;
  /** Covariance of the shape's terms, on paper and on cloth. */
  readonly uncertainty: Pick<EitherFit, "clothShare" | "onPaper" | "onCloth">;
  readonly seen: ShapeObservations;
  /** Whether the dark and the pale end are seen where all else foretells them. */
  readonly isEndSeen: readonly [boolean, boolean];
  /** How far boundaries lie from where the shape puts them, in steps, in their order. */
  readonly departuresSteps: readonly number[];
  /** How sure boundaries and long edges foretell the end that is seen, and how far off it lies, in steps. */
  readonly foretold: { readonly sigmaSteps: number; readonly offSteps: number };
}

const rounds = 5;
/**
 * A place that is sure is fitted near it, mostly in one round: where no corner moves by more than this share of the
 * length, the places of lines are all but linear in the shape.
 */
const settledShare = 0.004;
/** How far lines are looked for, from the first round to the last. */
const reaches = {
  first: { boundarySteps: 0.34, endSteps: 0.45, edgeHeights: 0.4 },
  last: { boundarySteps: 0.18, endSteps: 0.2, edgeHeights: 0.12 },
} as const;
/** Bow and wave of stretched cloth, and of paper: standard deviations, shares of the length. */
const stretchSigmas = { cloth: [0.007, 0.004], paper: [0.0005, 0.0005] } as const;
/** Bend of either to the side: standard deviation, share of the length. */
const bendSigma = 0.003;
/** How much a lens moves a corner of the picture: standard deviation, share of its distance from the middle. */
const lensSigma = 0.01;
/** Perspective of a camera held at any usable tilt: standard deviation over one length. */
const perspectiveSigma = 0.15;
/**
 * Light under the film's edge, and softness, put the edges of pale steps elsewhere than those of dark ones by so much:
 * small pixels at least, share of the height.
 */
const leastSpreadPx = 0.5;
const spreadShare = 0.007;
/** A corner that nothing shows stays about where it was, share of the length. */
const cornerSigma = 0.15;
/** ... and along the strip nearer still, as what was found first is about this sure. */
const startSigma = 0.06;
const fewestObservations = 10;
/** Observations further off than so many standard uncertainties lose their weight. */
const usual = 2;
const mostScale = 3;
const reweightings = 2;
/** An end lies within so many standard uncertainties of where it is foretold, or about this share of a step. */
const foretoldSigmas = 3;
const endSigmaSteps = 0.04;

/**
 * Fits the shape, looking nearer in every round.
 * @param isNear whether it lies very nearly where it is
 * @returns null when too little is seen
 */
export function fitShape(field: Field, start: StripShape, steps: number, isNear = false): FittedShape | null {
  let fitted: FittedShape | null = null;
  let shape = start;
  for (let round = 0; round < rounds; round++) {
    const late = isNear ? 1 : Math.min(1, round / (rounds - 2));
    const between = (key: keyof typeof reaches.first) =>
      reaches.first[key] + late * (reaches.last[key] - reaches.first[key]);
    const { length, height } = sizeOf(shape);
    if (!(length > 10 && height > 3 && length < 4 * Math.max(field.width, field.height))) return null;
    const seen = observeShape(field, shape, steps, {
      boundarySteps: between("boundarySteps"),
      endSteps: between("endSteps"),
      edgeHeights: between("edgeHeights"),
    });
    if (seen.lines.length < fewestObservations) return null;
    const problem = linearised(shape, start, field);
    const foretold = solved(problem, seen.lines);
    const pitchPx = length / steps;
    const found = seen.ends.map((end) => (end.length === 0 ? null : foretoldEnd(problem, foretold, end, pitchPx)));
    const isEnd = found.map((end) => end !== null && isForetold(end));
    const { coefficients, ...uncertainty } = isEnd.includes(true)
      ? solved(problem, [...seen.lines, ...seen.ends.flatMap((end, i) => (isEnd[i]! ? end : []))])
      : foretold;
    shape = shape.map((value, i) => value + coefficients[i]!);
    if (!shape.every(Number.isFinite)) return null;
    const moved = Math.max(...coefficients.slice(0, cornerTerms).map(Math.abs));
    const left = seen.boundaryOfLine.map(
      (_, i) => (seen.lines[i]!.offPx - dotProduct(problem.rowOf(seen.lines[i]!), coefficients)) / pitchPx,
    );
    const departureOf = (boundary: number): number =>
      median(left.filter((_, i) => seen.boundaryOfLine[i] === boundary));
    fitted = {
      shape,
      uncertainty,
      seen,
      isEndSeen: [isEnd[0]!, isEnd[1]!],
      departuresSteps: seen.boundaries.map(({ k }) => departureOf(k)),
      foretold: found.find((end, i) => end !== null && isEnd[i]!) ?? { sigmaSteps: 0, offSteps: 0 },
    };
    if (isNear && moved < settledShare * length) return fitted;
  }
  return fitted;
}

/** How the places of a shape move with its terms, and what is known of these beforehand. */
interface Linearised {
  readonly shape: StripShape;
  readonly rowOf: (seen: Observation) => number[];
  readonly held: readonly Prior[];
}

function linearised(shape: StripShape, start: StripShape, picture: PictureSize): Linearised {
  const known = new Map<Observation, number[]>();
  const placeOf = placesOf(shape, picture);
  const changed = Array.from({ length: shapeTerms }, (_, term) => {
    const { shape: other, by } = nudged(shape, term);
    return { placeOf: placesOf(other, picture), perspective: perspectiveOf(other, picture), by };
  });
  const rowAt = ({ u, v, acrossX, acrossY, spread }: Observation): number[] => {
    const [x, y] = placeOf(u, v);
    const row = changed.map(({ placeOf: other, by }) => {
      const [otherX, otherY] = other(u, v);
      return ((otherX - x) * acrossX + (otherY - y) * acrossY) / by;
    });
    row.push(spread);
    return row;
  };
  return {
    shape,
    rowOf: (seen) => {
      const before = known.get(seen);
      if (before !== undefined) return before;
      const row = rowAt(seen);
      known.set(seen, row);
      return row;
    },
    held: priors(shape, start, { changed, perspective: perspectiveOf(shape, picture) }),
  };
}

interface LinearProblem {
  readonly design: readonly (readonly number[])[];
  readonly response: readonly number[];
  readonly sigma: readonly number[];
}

/** The change of the shape that observations ask for, uncommon ones held down, on paper or on cloth. */
function solved({ shape, rowOf, held }: Linearised, seen: readonly Observation[]): EitherFit {
  const design = seen.map(rowOf);
  const stretches = (sigmas: readonly number[]): Prior[] =>
    stretchTerms.map((term, i) => ({ row: unit(term), response: -shape[term]!, sigma: sigmas[i]! }));
  const problemOn = (stretchSigmas: readonly number[], sigmas: readonly number[]): LinearProblem => {
    const priors = [...held, ...stretches(stretchSigmas)];
    return {
      design: [...design, ...priors.map(({ row }) => row)],
      response: [...seen.map(({ offPx }) => offPx), ...priors.map(({ response }) => response)],
      sigma: [...sigmas, ...priors.map(({ sigma }) => sigma)],
    };
  };
  let sigmas = seen.map(({ sigmaPx }) => sigmaPx);
  for (let round = 0; round < reweightings; round++) {
    const { response, sigma, design: rows } = problemOn(stretchSigmas.cloth, sigmas);
    const coefficients = leastSquaresSolution(rows, response, sigma)!;
    const departures = seen.map(({ offPx, sigmaPx }, i) => (offPx - dotProduct(design[i]!, coefficients)) / sigmaPx);
    const scale = Math.min(mostScale, Math.max(1, robustSigma(departures, 0)));
    sigmas = seen.map(({ sigmaPx }, i) => sigmaPx * scale * (1 + (departures[i]! / (usual * scale)) ** 2));
  }
  const cloth = linearLeastSquares(problemOn(stretchSigmas.cloth, sigmas));
  const paper = linearLeastSquares(problemOn(stretchSigmas.paper, sigmas));
  return ofPaperOrCloth({
    paper,
    cloth,
    terms: stretchTerms,
    stretched: stretchTerms.map((term) => shape[term]! + cloth.coefficients[term]!),
    usualSigmas: stretchSigmas.cloth,
  });
}

interface ForetoldEnd {
  readonly sigmaSteps: number;
  readonly offSteps: number;
}

/** How far an end is seen from where boundaries and long edges foretell it, and how surely they do. */
function foretoldEnd(
  { rowOf }: Linearised,
  foretold: EitherFit,
  end: readonly Observation[],
  pitchPx: number,
): ForetoldEnd {
  const departures = end.map((seen) => seen.offPx - dotProduct(rowOf(seen), foretold.coefficients));
  const sigmaPx = Math.sqrt(varianceOfSum(rowOf(end[end.length >> 1]!), foretold.covariance));
  return { sigmaSteps: sigmaPx / pitchPx, offSteps: Math.abs(median(departures)) / pitchPx };
}

/** Whether it is an end of the strip: beyond one, a brush edge may be as straight. */
const isForetold = ({ sigmaSteps, offSteps }: ForetoldEnd): boolean =>
  offSteps < foretoldSigmas * Math.hypot(sigmaSteps, endSigmaSteps);

interface Prior {
  readonly row: readonly number[];
  readonly response: number;
  readonly sigma: number;
}

const unit = (term: number): number[] => Array.from({ length: shapeTerms + 1 }, (_, i) => (i === term ? 1 : 0));

/** What is known of the terms beforehand, stretched cloth apart. */
function priors(
  shape: StripShape,
  start: StripShape,
  {
    changed,
    perspective,
  }: {
    readonly changed: readonly { readonly perspective: readonly [number, number]; readonly by: number }[];
    readonly perspective: readonly [number, number];
  },
): Prior[] {
  const { length, height } = sizeOf(shape);
  const [alongX, alongY] = [(shape[2]! - shape[0]!) / length, (shape[3]! - shape[1]!) / length];
  return [
    ...Array.from({ length: cornerTerms }, (_, i) => ({ row: unit(i), response: 0, sigma: cornerSigma * length })),
    ...[0, 2, 4, 6].map((i) => ({
      row: Array.from({ length: shapeTerms + 1 }, (_, term) => [alongX, alongY][term - i] ?? 0),
      response: (start[i]! - shape[i]!) * alongX + (start[i + 1]! - shape[i + 1]!) * alongY,
      sigma: startSigma * length,
    })),
    { row: unit(bendTerm), response: -shape[bendTerm]!, sigma: bendSigma },
    { row: unit(lensTerm), response: -shape[lensTerm]!, sigma: lensSigma },
    ...([0, 1] as const).map((way) => ({
      row: [...changed.map((other) => (other.perspective[way] - perspective[way]) / other.by), 0],
      response: -perspective[way],
      sigma: perspectiveSigma * (way === 0 ? 1 : height / length),
    })),
    { row: unit(shapeTerms), response: 0, sigma: Math.max(leastSpreadPx, spreadShare * height) },
  ];
}
