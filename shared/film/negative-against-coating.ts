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

  const rightSeconds = 10 ** (shoulder + baseDensity);
  const findings = [
    ...shadowFindings({ blocked: shadowsBlockedStops, weak: shadowsWeakStops, seconds: time, rightSeconds }),
    ...(coatingRange === null || highlightsVeiledStops === null || highlightsEmptyStops === null
      ? [{ code: "toe-unknown" } as const]
      : highlightFindings({
          veiled: highlightsVeiledStops,
          empty: highlightsEmptyStops,
          lightestDensity,
          mends: mendsForVeil({ negativeRange, coatingRange, baseDensity }),
        })),
  ];
  const suits =
    shadowsBlockedStops <= worthStops && shadowsWeakStops <= worthStops && (highlightsVeiledStops ?? 0) <= worthStops;
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
    findings: findings.length === 0 ? [{ code: "film-suits" }] : findings,
  };
}

function shadowFindings({
  blocked,
  weak,
  seconds,
  rightSeconds,
}: {
  blocked: number;
  weak: number;
  seconds: number;
  rightSeconds: number;
}): NegativeFinding[] {
  return [
    ...(blocked > worthStops ? [{ code: "shadows-blocked", seconds, stops: blocked, rightSeconds } as const] : []),
    ...(weak > worthStops ? [{ code: "shadows-weak", seconds, stops: weak, rightSeconds } as const] : []),
  ];
}

function highlightFindings({
  veiled,
  empty,
  lightestDensity,
  mends,
}: {
  veiled: number;
  empty: number;
  lightestDensity: number;
  mends: readonly NegativeFinding[];
}): NegativeFinding[] {
  if (veiled > worthStops) return [{ code: "highlights-veiled", stops: veiled, lightestDensity }, ...mends];
  if (empty <= worthStops) return [];
  return [
    { code: "highlights-empty", stops: empty },
    ...(empty > 1 ? [{ code: "longer-scale-coating" } as const] : []),
  ];
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
