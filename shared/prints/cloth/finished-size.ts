// Cloth shrinks: what to print and cut so that it is right after the wash, and how far two layers may then miss.
import { sampleStandardDeviation } from "simple-statistics";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

/** Loss of length in the wash, in percent of the length before; less than 0 where the cloth grows. */
export interface Shrinkage {
  readonly percent: number;
  /** Standard uncertainty of the next piece, widened where few were measured [percentage points]. */
  readonly sigmaPercent: number;
}

/** A piece of the same cloth differs by so much where one alone was measured. common practice, no source */
const usualSigmaPercent = 1;
/** A length on cloth is read to this [mm, standard uncertainty]. common practice, no source */
const rulerSigmaMm = 0.5;

/**
 * Shrinkage from marks on pieces of cloth, measured before and after they were washed and dried.
 * @param beforeMm distance of the marks before [mm], above 0
 * @param afterMm distance of the marks on each piece after [mm]; at least one
 * @returns mean shrinkage and the uncertainty of one more piece
 * @throws RangeError without a piece
 * @example shrinkageOf(200, [194, 193, 195]).percent // 3
 * Source: iso-5077 (dimensional change on washing, from memory; there the change is negative where the cloth
 * shrinks); Student1908 (one more piece after few).
 */
export function shrinkageOf(beforeMm: number, afterMm: readonly number[]): Shrinkage {
  if (afterMm.length === 0 || !(beforeMm > 0)) throw new RangeError("Shrinkage needs a length before and one after.");
  const each = afterMm.map((after) => (100 * (beforeMm - after)) / beforeMm);
  const percent = each.reduce((sum, value) => sum + value, 0) / each.length;
  const rulerPercent = (100 * rulerSigmaMm * Math.SQRT2) / beforeMm;
  if (each.length === 1) return { percent, sigmaPercent: Math.hypot(usualSigmaPercent, rulerPercent) };
  // One more piece scatters as these do, about a mean that is known to one over the root of their number.
  const scatter = Math.max(sampleStandardDeviation(each), rulerPercent);
  const fewPieces = studentT95(each.length - 1) / rangeSigmas;
  return { percent, sigmaPercent: scatter * Math.sqrt(1 + 1 / each.length) * fewPieces };
}

export interface SizeToPrint {
  /** Size on the cloth before the wash [mm]. */
  readonly mm: number;
  /** What comes out of the wash, between these 95 times in a hundred [mm]. */
  readonly lowerFinishedMm: number;
  readonly upperFinishedMm: number;
}

/**
 * Size to print so that the finished cloth has the wanted one, and what then comes out of the wash.
 * @param finishedMm wanted after washing [mm], above 0
 * @throws RangeError when the cloth would shrink to nothing
 * @example sizeToPrint(300, { percent: 4, sigmaPercent: 1 }).mm // 312.5
 */
export function sizeToPrint(finishedMm: number, { percent, sigmaPercent }: Shrinkage): SizeToPrint {
  const left = 1 - percent / 100;
  if (!(left > 0)) throw new RangeError(`Cloth cannot shrink by ${percent} %.`);
  const mm = finishedMm / left;
  const halfMm = (rangeSigmas * mm * sigmaPercent) / 100;
  return { mm, lowerFinishedMm: finishedMm - halfMm, upperFinishedMm: finishedMm + halfMm };
}

/**
 * How far the edges of two layers may miss each other when one was printed before a wash and one after it, laid middle
 * on middle and the second scaled by the usual shrinkage.
 * @param finishedMm size after washing [mm]
 * @returns half of what the size may be off, 95 times in a hundred [mm]
 */
export function registerMissMm(finishedMm: number, shrinkage: Shrinkage): number {
  const { lowerFinishedMm, upperFinishedMm } = sizeToPrint(finishedMm, shrinkage);
  return (upperFinishedMm - lowerFinishedMm) / 4;
}
