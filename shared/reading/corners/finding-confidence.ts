// How sure it is that a strip found by itself lies where it was put.
import { errorFunctionAt } from "#shared/statistics/normal-distribution.ts";

/** What speaks for and against, see the finder. */
export interface FindingEvidence {
  /** Step boundaries seen inside the strip, and in line with it beyond its ends. */
  readonly boundaries: number;
  readonly boundariesBeyond: number;
  /** Share of the boundaries between the first and the last one seen that is not: where steps were halved, many. */
  readonly gapShare: number;
  /** Spread of these about a smooth course, in steps. */
  readonly residualSteps: number;
  /** The greatest leap among them against that course, in steps: where numbers' edges are taken for boundaries. */
  readonly leapSteps: number;
  /** How far they bend away from the perspective that the long edges foretell, in its standard uncertainties. */
  readonly bowSigmas: number;
  /** Share of the places along the less even long edge where the field changes on its line. */
  readonly edgeSupport: number;
  /** How much more the next best numbering of the boundaries would leave unexplained. */
  readonly countMargin: number;
  /** What this numbering leaves unexplained: a cell of the wrong tone counts up to 3. */
  readonly unexplained: number;
  /**
   * How well the boundaries foretold the end that the count relies on, in steps: beyond a long unseen stretch it may be
   * a step off.
   */
  readonly foretoldSigmaSteps: number;
  /** How far from there it is seen, in steps. */
  readonly foretoldOffSteps: number;
  /** Share of the boundaries' fall that is seen next to the long edges too, at the worse of the two. */
  readonly rowShare: number;
  /** ... and beside the strip, where there should be none. */
  readonly besideShare: number;
  /** How far the tones beside the strip follow those of its steps: 1 where the steps go on beyond a long edge. */
  readonly besideTone: number;
  /**
   * Standard uncertainty of the less certain corner along the strip, by its end and by how boundaries lean, in steps.
   */
  readonly cornerSigmaSteps: number;
  /** The same should the strip be on cloth that stretches, and how likely it is; without it, that is not told apart. */
  readonly cloth?: { readonly share: number; readonly cornerSigmaSteps: number };
  /** Share of the steps that fall from dark to pale, things lying on the strip apart. */
  readonly fallingShare: number;
  /** Fall of the field over the steps, a few outermost ones apart. */
  readonly fall: number;
  /** Mean change across the weaker long edge. */
  readonly edgeStrength: number;
}

/** 0 at or beyond `none`, 1 at or beyond `full`, even between. */
const share = (value: number, none: number, full: number) => Math.min(Math.max((value - none) / (full - none), 0), 1);

/** An end further off than this many steps, or than this share of the strip's length, is in the wrong place. */
const misplacedSteps = 0.5;
const misplacedShare = 0.02;
/**
 * Even an end that is seen is placed no better than this, in steps.
 * Source: common practice, no source (rendered scenes).
 */
const seenSigmaSteps = 0.06;
/**
 * Beyond the last boundary that is seen, a lens and a tilt that the boundaries do not tell move an end by this share of
 * the stretch between, one standard deviation.
 * Source: common practice, no source (rendered scenes).
 */
const unseenSigmaShare = 0.008;
/**
 * ... and where all lines were fitted as one shape: on paper, and on cloth, which stretches on as it was not seen to.
 * Source: common practice, no source (rendered scenes).
 */
const unseenSigmaFitted = { paper: 0.012, cloth: 0.035 } as const;
/** Below this confidence the corners are asked for. */
export const askBelow = 0.55;
/**
 * From this confidence on, a refused place is shown as a suggestion; of seven rendered ones with less, one was right.
 */
export const suggestFrom = 0.3;
/**
 * Below this confidence the reading says that the place should be checked: on widened scenes wrong places reached 0.93.
 */
export const warnBelow = 0.94;

/** Share of a normal distribution within so many standard deviations. */
const withinNormal = (sigmas: number) => errorFunctionAt(Math.min(sigmas, 6) / Math.SQRT2);

/** As many boundaries as this are a row of steps beyond doubt. */
const plentyBoundaries = 5;
/** What is left of the confidence when a piece of evidence is as bad as can be. */
const left = {
  unexplained: 0.3,
  fewBoundaries: 0.3,
  gaps: 0.3,
  boundariesBeyond: 0.6,
  uneven: 0.2,
  faintEdges: 0.2,
  offRows: 0.5,
  stepsBeside: 0.8,
  leaping: 0.7,
  wanderingEdge: 0.5,
  bentAway: 0.7,
  endOff: 0.6,
} as const;

/**
 * Beyond what the boundaries themselves say, a course may bend by so much, in steps.
 * Source: common practice, no source (rendered scenes).
 */
const courseSigmaSteps = 0.15;

/** How far off an end is seen, in standard uncertainties of where it was foretold. */
const endOffSigmas = ({ foretoldOffSteps, foretoldSigmaSteps }: FindingEvidence): number =>
  foretoldOffSteps / Math.hypot(foretoldSigmaSteps, seenSigmaSteps);

/** Few boundaries foretell an end: Student's distribution with so many degrees of freedom. */
const foretoldFreedom = 4;

/**
 * Confidence that the end that the count relies on is the foretold one, and not one a step further or nearer: the
 * distribution of where it was foretold, at each of the three.
 */
function countedRight({
  foretoldSigmaSteps,
  foretoldOffSteps,
}: Pick<FindingEvidence, "foretoldSigmaSteps" | "foretoldOffSteps">): number {
  const variance = foretoldSigmaSteps ** 2 + courseSigmaSteps ** 2;
  const density = (off: number): number =>
    (1 + off ** 2 / (foretoldFreedom * variance)) ** (-(foretoldFreedom + 1) / 2);
  const nearer = Math.min(foretoldOffSteps, misplacedSteps);
  const here = density(nearer);
  return here / (here + density(1 - nearer) + density(1 + foretoldOffSteps));
}

/**
 * Confidence that what was found is the strip, counted from its right end.
 * @param evidence what the finder saw
 * @param steps declared number of steps
 * @returns share 0-1; every piece of evidence can only lower it
 * Source: common practice, no source (weights tuned on rendered scenes)
 */
export function identityConfidence(evidence: FindingEvidence, steps: number): number {
  const keep = (least: number, good: number) => least + (1 - least) * good;
  // Two rival numberings, each as likely as what it leaves unexplained says.
  const counted = 1 / (1 + 2 * Math.exp(-2 * evidence.countMargin));
  const factors = [
    counted,
    countedRight(evidence),
    keep(left.offRows, share(evidence.rowShare, 0.2, 0.5)),
    keep(left.offRows, share(evidence.besideShare, 0.9, 0.5)),
    keep(left.stepsBeside, share(evidence.besideTone, 0.35, 0.15)),
    keep(left.wanderingEdge, share(evidence.edgeSupport, 0.35, 0.72)),
    keep(left.bentAway, share(evidence.bowSigmas, 3, 1.9)),
    keep(left.endOff, share(endOffSigmas(evidence), 5, 3)),
    keep(left.unexplained, share(evidence.unexplained / steps, 0.7, 0.35)),
    keep(left.fewBoundaries, share(evidence.boundaries, 1, Math.min(plentyBoundaries, Math.max(2, steps - 1)))),
    keep(left.gaps, share(evidence.gapShare, 0.4, 0.2)),
    keep(left.boundariesBeyond, share(evidence.boundariesBeyond, 4, 1)),
    keep(left.leaping, share(evidence.leapSteps, 0.18, 0.13)),
    keep(left.uneven, share(evidence.residualSteps, 0.2, 0.08)),
    share(evidence.fallingShare, 0.6, 0.85),
    share(evidence.fall, 0.08, 0.3),
    keep(left.faintEdges, share(evidence.edgeStrength / Math.max(evidence.fall, 0.1), 0.015, 0.06)),
  ];
  return factors.reduce((product, factor) => product * factor, 1);
}

/**
 * Confidence that the less certain corner lies within half a step, and 2 % of the length, of where it was put along the
 * strip: an end that was not seen is as uncertain as the course of the boundaries beyond the last one seen, and as the
 * way they lean. Where paper and cloth are told apart, each counts as it is likely.
 * @returns share 0-1, from the normal distribution
 * Source: common practice, no source (0.1 step from rendered scenes)
 */
export function placementConfidence(
  { cornerSigmaSteps, cloth, boundaries }: Pick<FindingEvidence, "cornerSigmaSteps" | "cloth" | "boundaries">,
  steps: number,
): number {
  const mostSteps = Math.min(misplacedSteps, misplacedShare * steps);
  const unseenSteps = Math.max(0, steps - 1 - boundaries);
  if (cloth === undefined)
    return withinNormal(mostSteps / Math.hypot(cornerSigmaSteps, seenSigmaSteps, unseenSigmaShare * unseenSteps));
  const withinOf = (sigma: number, support: keyof typeof unseenSigmaFitted): number =>
    withinNormal(mostSteps / Math.hypot(sigma, unseenSigmaFitted[support] * unseenSteps));
  return (
    (1 - cloth.share) * withinOf(cornerSigmaSteps, "paper") + cloth.share * withinOf(cloth.cornerSigmaSteps, "cloth")
  );
}

/**
 * Confidence that two looks at the same strip have together: one that is unsure is not overruled by one that is sure.
 * @param one share 0-1
 * @param other share 0-1
 * @returns share 0-1, between the two; 0 where either is
 * Source: logarithmic opinion pool with equal weights, the mean of both logarithms of the odds, from memory
 */
export function pooledConfidence(one: number, other: number): number {
  const odds = Math.sqrt((one / (1 - one)) * (other / (1 - other)));
  return Number.isFinite(odds) ? odds / (1 + odds) : Math.min(one, other);
}

/**
 * A place where neither end is seen is so many times less likely by its odds: what is dark at one end and pale at the
 * other differs from its surround at one of them, unless something lies there.
 * Source: common practice, no source (of 43 such places in rendered scenes 3 were right, of 407 others 351; part of
 * that is left out, since stickers hide ends more often than they do there)
 */
const oddsWithoutEnd = 0.15;

/**
 * Confidence in a place fitted as a whole that shows neither end where all else foretells it.
 * @param confidence but for that, share 0-1
 */
export const confidenceWithoutEnd = (confidence: number): number =>
  (confidence * oddsWithoutEnd) / (1 - confidence + confidence * oddsWithoutEnd);

/**
 * What a place that comes again in other light is worth; distances are shares of the strip's length. At `neutral` a
 * look says nothing; below `least` nearer is no better, beyond `most` further is no worse. The odds before count to the
 * power `before`, since the looks say again what they said; each look counts to the power `look`.
 * Source: common practice, no source (logistic regression on 353 rendered pictures, 48 of them found in a wrong place)
 */
const otherLight = { neutral: 0.0118, least: 0.0006, most: 0.06, before: 0.58, look: 0.48 } as const;
const surest = 0.997;

/**
 * Confidence in a place that was looked for once more in other light. How its steps are counted stays as doubtful as it
 * was, by the square root of its share, as two looks are pooled: all see the same boundaries and ends.
 * @param confidence before, share 0-1
 * @param apartShares how far from it each look found the strip, shares of the length; infinite where it did not
 * @returns share 0-1; as before without a look
 */
export function confidenceInOtherLight(
  confidence: number,
  foretold: Pick<FindingEvidence, "foretoldSigmaSteps" | "foretoldOffSteps">,
  apartShares: readonly number[],
): number {
  if (apartShares.length === 0) return confidence;
  const { neutral, least, most, before, look } = otherLight;
  const counted = Math.sqrt(countedRight(foretold));
  const rest = Math.min(surest, confidence / counted);
  const odds = apartShares.reduce(
    (product, apart) => product * (Math.min(Math.max(apart, least), most) / neutral) ** -look,
    (rest / (1 - rest)) ** before,
  );
  return (counted * odds) / (1 + odds);
}

/**
 * Confidence in a strip beside which another place in the picture looks like one too.
 * @param confidence in the likelier place
 * @param rival confidence in the other, 0 without one
 * @returns share 0-1: each as likely as its confidence says, the other half as likely to be meant
 * Source: common practice, no source
 */
export const besideRival = (confidence: number, rival: number): number =>
  confidence === 0 ? 0 : (confidence * confidence) / (confidence + rival / 2);
