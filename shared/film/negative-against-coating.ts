// Whether the film's darkest and clearest parts reach from paper white to the deepest blue of a coating.
import type { Curve } from "#shared/schema/curve.ts";
import { densityAt, logHAtShare } from "#shared/curve/curve-at.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";

export interface NegativeAgainstCoating {
  /** Densest black minus clear base, UV density. */
  readonly negativeRange: number;
  /** Log exposure range of the coating; null where the test did not show the toe. */
  readonly coatingRange: number | null;
  /** The time that this judgement is for [s]. */
  readonly seconds: number;
  /** Clear film gets this much more light than the shoulder needs: dark tones run together. Stops, 0 when none. */
  readonly shadowsBlockedStops: number;
  /** Clear film gets this much less than the shoulder needs: the deepest blue is not reached. Stops, 0 when none. */
  readonly shadowsWeakStops: number;
  /** The densest black lets this much more light through than paper white allows. Stops, 0 when none; null where the toe is not known. */
  readonly highlightsVeiledStops: number | null;
  /** The negative's densest parts lie this far beyond the toe: the lightest tones print as bare paper. Stops, 0 when none; null likewise. */
  readonly highlightsEmptyStops: number | null;
  /** Density above paper of what the densest black prints. */
  readonly lightestDensity: number;
  readonly suits: boolean;
  /** Plain sentences: what is wrong and what would mend it. */
  readonly sentences: readonly string[];
}

/** Less than this is not worth a word: a tenth of a stop. */
const worthStops = 0.1;

export interface NegativeAgainstCoatingInput {
  readonly curve: Curve;
  /** UV density of the clear film. */
  readonly baseDensity: number;
  /** UV density of the densest black that the device prints, base included. */
  readonly maxDensity: number;
  /** Share (0-1) of net D-max that clear film shall reach. */
  readonly targetShare: number;
  /** A time to judge [s]; the advised one when absent. */
  readonly seconds?: number;
}

/**
 * The negative's density range held against the coating's log exposure range.
 * @returns null where the curve does not reach the shoulder
 * Source: common practice, no source; ranges as in Iso6846.
 */
export function negativeAgainstCoating({
  curve,
  baseDensity,
  maxDensity,
  targetShare,
  seconds,
}: NegativeAgainstCoatingInput): NegativeAgainstCoating | null {
  const shoulder = logHAtShare(curve, targetShare);
  if (shoulder === null) return null;
  const time = seconds ?? 10 ** (shoulder + baseDensity);
  const clearLogH = Math.log10(time) - baseDensity;
  const denseLogH = Math.log10(time) - maxDensity;
  const toe = curve.points.toe?.logH ?? null;
  const stops = (logH: number) => (Math.abs(logH) < 1e-9 ? 0 : Math.max(0, stopsFromLogH(logH)));
  const shadowsBlockedStops = stops(clearLogH - shoulder);
  const shadowsWeakStops = stops(shoulder - clearLogH);
  const highlightsVeiledStops = toe === null ? null : stops(denseLogH - toe);
  const highlightsEmptyStops = toe === null ? null : stops(toe - denseLogH);
  const negativeRange = maxDensity - baseDensity;
  const coatingRange = toe === null ? null : shoulder - toe;
  const lightestDensity = densityAt(curve, denseLogH) - curve.dMin;

  const sentences: string[] = [];
  if (shadowsBlockedStops > worthStops)
    sentences.push(
      `At ${plainTime(time)} clear film gets ${shadowsBlockedStops.toFixed(1)} stops more than it needs: the darkest tones run together. A shorter time, ${plainTime(10 ** (shoulder + baseDensity))}, would part them.`,
    );
  if (shadowsWeakStops > worthStops)
    sentences.push(
      `At ${plainTime(time)} clear film gets ${shadowsWeakStops.toFixed(1)} stops too little: the deepest blue is not reached. Give it ${plainTime(10 ** (shoulder + baseDensity))}.`,
    );
  if (coatingRange === null) {
    sentences.push(
      "The test does not show where the coating begins to print, so the highlights cannot be judged. A tablet with denser steps, or a shorter test, would show it.",
    );
  } else if (highlightsVeiledStops! > worthStops) {
    sentences.push(
      `The densest black of this film holds back too little: whites are veiled by ${highlightsVeiledStops!.toFixed(1)} stops and print at density ${Math.max(0, lightestDensity).toFixed(2)}.`,
    );
    sentences.push(...mendsForVeil({ negativeRange, coatingRange, baseDensity }));
  } else if (highlightsEmptyStops! > worthStops) {
    sentences.push(
      `The film can hold back ${highlightsEmptyStops!.toFixed(1)} stops more than the coating can show. The tone correction takes that up; without it the lightest tones print as bare paper, and a longer time that brings them back blocks the shadows.`,
    );
    if (highlightsEmptyStops! > 1) sentences.push("A coating with a longer scale would use more of the film.");
  }
  const suits =
    shadowsBlockedStops <= worthStops && shadowsWeakStops <= worthStops && (highlightsVeiledStops ?? 0) <= worthStops;
  if (sentences.length === 0)
    sentences.push(
      "The film suits the coating: its densest black keeps the paper white while its clear base reaches the deepest blue.",
    );
  return {
    negativeRange,
    coatingRange,
    seconds: time,
    shadowsBlockedStops,
    shadowsWeakStops,
    highlightsVeiledStops,
    highlightsEmptyStops,
    lightestDensity,
    suits,
    sentences,
  };
}

function mendsForVeil({
  negativeRange,
  coatingRange,
  baseDensity,
}: {
  negativeRange: number;
  coatingRange: number;
  baseDensity: number;
}): string[] {
  const mends = [
    "Print the negative with more ink, or in an ink colour that blocks ultraviolet better; a wedge sheet beside a step tablet shows which.",
  ];
  if (2 * negativeRange >= coatingRange)
    mends.push(
      `Two of these films stacked would do it, at ${(10 ** baseDensity).toFixed(2)} times the exposure for the second base.`,
    );
  mends.push(
    `Or take a coating with a shorter scale: this one spans ${coatingRange.toFixed(2)}, the film ${negativeRange.toFixed(2)} in log exposure.`,
  );
  return mends;
}
