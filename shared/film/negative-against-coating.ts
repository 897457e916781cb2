// Whether the film's darkest and clearest parts reach from paper white to the deepest blue of a coating.
import type { Curve } from "#shared/schema/curve.ts";
import { densityAt, logHAtShare } from "#shared/curve/curve-at.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { NegativeFinding } from "./film-facts.ts";

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
  /**
   * The densest black lets this much more light through than paper white allows. Stops, 0 when none; null where the toe
   * is not known.
   */
  readonly highlightsVeiledStops: number | null;
  /**
   * The negative's densest parts lie this far beyond the toe: the lightest tones print as bare paper. Stops, 0 when
   * none; null likewise.
   */
  readonly highlightsEmptyStops: number | null;
  /** Density above paper of what the densest black prints. */
  readonly lightestDensity: number;
  readonly suits: boolean;
  /** What is wrong and what would mend it; at least one. */
  readonly findings: readonly NegativeFinding[];
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

  const findings: NegativeFinding[] = [];
  const rightSeconds = 10 ** (shoulder + baseDensity);
  if (shadowsBlockedStops > worthStops)
    findings.push({ code: "shadows-blocked", seconds: time, stops: shadowsBlockedStops, rightSeconds });
  if (shadowsWeakStops > worthStops)
    findings.push({ code: "shadows-weak", seconds: time, stops: shadowsWeakStops, rightSeconds });
  if (coatingRange === null) {
    findings.push({ code: "toe-unknown" });
  } else if (highlightsVeiledStops! > worthStops) {
    findings.push({ code: "highlights-veiled", stops: highlightsVeiledStops!, lightestDensity });
    findings.push(...mendsForVeil({ negativeRange, coatingRange, baseDensity }));
  } else if (highlightsEmptyStops! > worthStops) {
    findings.push({ code: "highlights-empty", stops: highlightsEmptyStops! });
    if (highlightsEmptyStops! > 1) findings.push({ code: "longer-scale-coating" });
  }
  const suits =
    shadowsBlockedStops <= worthStops && shadowsWeakStops <= worthStops && (highlightsVeiledStops ?? 0) <= worthStops;
  if (findings.length === 0) findings.push({ code: "film-suits" });
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
    findings,
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
}): NegativeFinding[] {
  return [
    { code: "more-ink" },
    ...(2 * negativeRange >= coatingRange ? [{ code: "two-films", timesExposure: 10 ** baseDensity } as const] : []),
    { code: "shorter-scale-coating", coatingRange, negativeRange },
  ];
}
