// Whether a margin strip's reading can be believed: one patch against its neighbours, the strip against those before
// it, and how far it lies from what the curve promised. A curve is never moved by a doubtful strip in silence.
import type { Tone } from "#shared/schema/correction.ts";
import { choleskyFactor, choleskySolve } from "#shared/statistics/cholesky.ts";
import type { CorrectionWarning } from "#shared/correction/correction-facts.ts";
import { driftSeen, type StripTones } from "./drifted-tones.ts";

/**
 * A patch further than this from what its neighbours and the strips before tell of it, in standard deviations. Our
 * judgement.
 */
const oddPatchDeviations = 3;
/**
 * Squared departure of a whole strip, in variances of what drift and prints usually do. Those are judged wide: in
 * simulated prints 19 of 20 good strips stay under 10, and 9 of 10 spoilt ones come above 12. Our judgement.
 */
const mostDeparture = 12;
/** Mean distance of a strip from what the sheet and the strips before let expect, L*. Our judgement. */
const farLightness = 8;

/** Weights of the first `count` patches alone. */
function weightsOf(matrix: Float64Array, moved: readonly number[], count: number): Float64Array {
  const size = moved.length;
  const part = Float64Array.from(
    { length: count ** 2 },
    (_, at) => matrix[Math.floor(at / count) * size + (at % count)]!,
  );
  return choleskySolve(choleskyFactor(part, count), moved.slice(0, count));
}

/** Sum of squares in units of the variances that the matrix tells. */
function departure(weights: Float64Array, moved: readonly number[]): number {
  return weights.reduce((sum, weight, at) => sum + weight * moved[at]!, 0);
}

/**
 * What makes the newest strip doubtful; the worst reason alone.
 * @param sheet tones of the wedge sheet: `level` is what was sent to the film printer
 * @param strips oldest first; the newest is judged
 * @returns no warning for a strip whose tones move together, as far as prints usually do
 * Source: RasmussenWilliams2006, equation 5.12: what all others tell of one observation
 */
export function stripDoubts(sheet: readonly Tone[], strips: readonly StripTones[]): CorrectionWarning[] {
  const scale = [...sheet].sort((a, b) => a.level - b.level);
  const { seen, matrix } = driftSeen(scale, strips);
  const size = seen.length;
  const before = seen.filter(({ print }) => print < strips.length - 1).length;
  if (size === before) return [];
  const moved = seen.map((patch) => patch.moved);
  const factor = choleskyFactor(matrix, size);
  const weights = choleskySolve(factor, moved);
  const unit = (at: number): Float64Array => Float64Array.from({ length: size }, (_, k) => (k === at ? 1 : 0));
  const left = seen.slice(before).map(({ patch }, index) => {
    const at = before + index;
    // Variance of the patch as told by all others is one over its diagonal of the inverse.
    const precision = choleskySolve(factor, unit(at))[at]!;
    return { patch, byLightness: weights[at]! / precision, deviations: weights[at]! / Math.sqrt(precision) };
  });
  const odd = left.reduce((a, b) => (Math.abs(b.deviations) > Math.abs(a.deviations) ? b : a));
  const weightsBefore = weightsOf(matrix, moved, before);
  const whole = departure(weights, moved) - departure(weightsBefore, moved);
  // Leaving a patch out takes just the square of its deviations off the whole departure.
  if (Math.abs(odd.deviations) > oddPatchDeviations && odd.deviations ** 2 > whole / 2)
    return [{ code: "strip-patch-odd", patch: odd.patch, byLightness: odd.byLightness }];
  if (whole > mostDeparture) return [{ code: "strip-disagrees", strips: strips.length }];
  const offs = moved.slice(before).map((value, at) => {
    const told = weightsBefore.reduce((sum, weight, k) => sum + weight * matrix[(before + at) * size + k]!, 0);
    return Math.abs(value - told);
  });
  const meanLightness = offs.reduce((sum, off) => sum + off, 0) / offs.length;
  return meanLightness > farLightness ? [{ code: "strip-far", meanLightness }] : [];
}
