// The film measured by its print: a step tablet and a wedge sheet exposed side by side on one coating. The tablet's
// curve says how much light made each blue; the time says how much there was; the film held back the rest.
import type { Curve } from "#shared/schema/curve.ts";
import { logHAtDensity } from "#shared/curve/curve-at.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import type { FilmWarning } from "./film-facts.ts";

/** One grey level as it printed. */
export interface PrintedLevel {
  /** Grey level sent to the film printer, as a positive: 0 leaves the film clear. */
  readonly level: number;
  /** Density above paper, in the channel of the curve. */
  readonly density: number;
  readonly sigma: number;
}

interface FilmLevel {
  readonly level: number;
  /** UV density of the film, base included. */
  readonly filmDensity: number;
  /** Standard uncertainty; null where only a bound is known. */
  readonly sigmaDensity: number | null;
  /** Full blue only says "no denser than this", paper white "no clearer than this". */
  readonly bound: "exact" | "at-most" | "at-least";
}

export interface FilmFromPrint {
  /** Rising levels, densities never falling. */
  readonly levels: readonly FilmLevel[];
  /** UV density of the clearest film; null where only a bound is known. */
  readonly baseDensity: number | null;
  /** Its standard uncertainty, with what two places of one coating differ by. */
  readonly baseSigmaDensity: number | null;
  /** UV density of the densest black; null where only a bound is known. */
  readonly maxDensity: number | null;
  readonly warnings: readonly FilmWarning[];
}

/** Outside these shares of the net density the curve is too flat to tell exposures apart. */
const flattestShoulderShare = 0.96;
const flattestToeShare = 0.03;
/** Beyond this share of the net density the clear film is measured badly. */
const surestShare = 0.85;
/** Two places of one coated sheet differ by so much in log exposure for the same blue. common practice, no source */
const placeSigma = 0.01;

function boundOf(density: number, { white, full }: { white: number; full: number }): FilmLevel["bound"] {
  if (density >= full) return "at-most";
  return density <= white ? "at-least" : "exact";
}

/**
 * UV density of every grey level of the user's film and device.
 * @param curve of the step tablet on the same coating, exposed at the same time
 * @param exposureSeconds of the sheet [s]; the tablet's own time need not be the same
 * @param printed grey levels, any order
 * Source: H = E t 10^-D solved for D; common practice, no source.
 */
export function filmFromPrint({
  curve,
  exposureSeconds,
  printed,
}: {
  curve: Curve;
  exposureSeconds: number;
  printed: readonly PrintedLevel[];
}): FilmFromPrint {
  const net = curve.dMax - curve.dMin;
  const full = curve.dMin + flattestShoulderShare * net;
  const white = curve.dMin + flattestToeShare * net;
  const factor = studentT95(curve.degreesOfFreedom);
  const logSeconds = Math.log10(exposureSeconds);
  const raw = [...printed]
    .sort((a, b) => a.level - b.level)
    .map(({ level, density, sigma }): FilmLevel & { weight: number } => {
      const bound = boundOf(density, { white, full });
      const held = Math.min(full, Math.max(white, density));
      const logH =
        logHAtDensity(curve, held) ??
        (bound === "at-least" ? curve.samples[0]!.logH : curve.samples[curve.samples.length - 1]!.logH);
      const { slope, band } = curveNear(curve, logH);
      const sigmaDensity = Math.hypot(sigma, band / factor) / Math.max(slope, 0.02);
      return {
        level,
        filmDensity: logSeconds - logH,
        sigmaDensity: bound === "exact" ? sigmaDensity : null,
        bound,
        weight: 1 / sigmaDensity ** 2,
      };
    });
  const rising = isotonicRegression(
    raw.map((entry) => entry.filmDensity),
    raw.map((entry) => entry.weight),
  );
  const levels = raw.map(({ level, sigmaDensity, bound }, i): FilmLevel => ({
    level,
    filmDensity: rising[i]!,
    sigmaDensity,
    bound,
  }));
  const first = levels[0];
  const last = levels[levels.length - 1];
  const drop = Math.max(0, ...raw.map((entry, i) => rising[i]! - entry.filmDensity));
  const clearest = Math.min(...printed.map(({ level }) => level));
  const isNearFull = printed.some(
    ({ level, density }) => level === clearest && density > curve.dMin + surestShare * net,
  );
  const warnings: FilmWarning[] = [
    ...baseWarnings(first, isNearFull, exposureSeconds),
    ...(last && last.bound !== "exact" ? [{ code: "film-black-at-white" } as const] : []),
    ...(drop > 0.15 ? [{ code: "film-levels-out-of-order" } as const] : []),
  ];
  return {
    levels,
    baseDensity: first?.bound === "exact" ? first.filmDensity : null,
    baseSigmaDensity: first?.sigmaDensity == null ? null : Math.hypot(first.sigmaDensity, placeSigma),
    maxDensity: last?.bound === "exact" ? last.filmDensity : null,
    warnings,
  };
}

function baseWarnings(first: FilmLevel | undefined, isNearFull: boolean, exposureSeconds: number): FilmWarning[] {
  if (first === undefined) return [];
  if (first.bound !== "exact") return [{ code: "film-base-at-full-blue" }];
  return isNearFull ? [{ code: "film-base-near-full-blue", halfSeconds: exposureSeconds / 2 }] : [];
}

/** Slope and half width of the band of the curve near a log exposure. */
function curveNear({ samples }: Curve, logH: number): { slope: number; band: number } {
  const found = samples.findIndex((sample) => sample.logH >= logH);
  const i = Math.min(Math.max(found, 1), samples.length - 2);
  const before = samples[i - 1]!;
  const after = samples[i + 1]!;
  return {
    slope: (after.density - before.density) / (after.logH - before.logH),
    band: (samples[i]!.upper - samples[i]!.lower) / 2,
  };
}
