// A print that is toned or bleached afterwards: what it must look like before, so that it comes out even after.
import type { Tone, ToneTarget } from "#shared/schema/correction.ts";
import { TroubleError } from "#shared/errors.ts";
import type { CorrectionTrouble } from "./correction-facts.ts";
import { topLevel } from "./grey-level.ts";
import { mergeTones } from "./merge-tones.ts";
import { fitToneScale, type ToneScale } from "./tone-scale.ts";

/** Points of the target, ends included: closer than a tone scale bends. */
const pointCount = 33;
/** Least difference between darkest and lightest tone that counts as a scale, L*. */
const leastRangeLightness = 5;

/**
 * The scale that a print must have before it is toned or bleached, so that afterwards it lies on even steps of L*
 * between the darkest and the lightest tone that it then has.
 * @param plain tones of a print as it was washed and dried
 * @param toned tones of the same print, or of one from the same sheet, after toning or bleaching
 * @returns a target for the sheet of any day
 * @throws TroubleError "no-correction" when either shows no scale
 * Source: inversion of two measured tone scales; common practice, no source.
 */
export function tonedTarget(
  plain: readonly Tone[],
  toned: readonly Tone[],
): Extract<ToneTarget, { readonly points: unknown }> {
  const [before, after] = [scaleOf(plain), scaleOf(toned)];
  const points = Array.from({ length: pointCount }, (_, index) => {
    const share = index / (pointCount - 1);
    const level = after.levelFor(after.darkest + share * (after.lightest - after.darkest));
    const light = (before.valueAt(level) - before.darkest) / (before.lightest - before.darkest);
    return { level: share * topLevel, percent: 100 * Math.min(1, Math.max(0, light)) };
  });
  return { points };
}

function scaleOf(tones: readonly Tone[]): ToneScale {
  const merged = mergeTones(tones);
  if (merged.length < 3)
    throw new TroubleError<CorrectionTrouble>("no-correction", { code: "too-few-levels", levels: merged.length });
  const scale = fitToneScale(merged, "lightness");
  const spanLightness = scale.lightest - scale.darkest;
  if (spanLightness < leastRangeLightness)
    throw new TroubleError<CorrectionTrouble>("no-correction", {
      code: "levels-alike",
      spanLightness,
      leastLightness: leastRangeLightness,
    });
  return scale;
}
