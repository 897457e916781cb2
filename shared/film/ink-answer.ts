// What the print of an ink sheet tells: how much of each ink keeps the paper white, and which ink blocks most.
import type { Curve } from "#shared/schema/curve.ts";
import type { InkAnswer, InkFinding, InkOutcome } from "#shared/schema/ink.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { filmFromPrint, type FilmFromPrint } from "./film-from-print.ts";

/** One amount of one ink as it printed. */
export interface PrintedInk {
  readonly ink: string;
  /** Share of the ink, 0 to 1. */
  readonly amount: number;
  /** Red density above bare paper, and its standard uncertainty. */
  readonly density: number;
  readonly sigma: number;
  /** The same in the channel of the curve. */
  readonly inCurve: { readonly density: number; readonly sigma: number };
}

export interface InkSheetPrint {
  readonly printed: readonly PrintedInk[];
  /** Standard uncertainty of bare paper under all of them; null where no bare paper was seen. */
  readonly paperSigma: number | null;
  /** Curve of a tablet test of the same light, paper and coating, and the sheet's time [s]; null without one. */
  readonly through: { readonly curve: Curve; readonly exposureSeconds: number } | null;
}

/** Red density above bare paper that is a veil, whatever lies beside it. common practice, no source */
const whiteDensity = 0.03;
/** Above this the lightest print may be veiled: no amount is surely enough. Our judgement. */
const surelyWhiteDensity = 0.02;
/** A veil is told from this many standard deviations of bare paper on. Our judgement. */
const veilSigmas = 3;
/** Above the sheet's own white, where that is as white as can be told, this looks like it still. Our judgement. */
const likeWhiteDensity = 0.015;

/**
 * What counts as white on this sheet: a print that looks like the one under all of the strongest ink, where that is no
 * veil. So the doubt of bare paper itself, which is common to all, does not move the amounts.
 */
function whiteOfSheet(ramps: readonly InkRamp[], paperSigma: number): WhiteOfSheet {
  const lightest = Math.min(...ramps.map(({ densities }) => densities.at(-1) ?? Infinity));
  const clean = Math.max(whiteDensity, veilSigmas * paperSigma);
  if (lightest > clean) return { white: whiteDensity, ground: 0, isSure: false };
  return { white: lightest + likeWhiteDensity, ground: lightest, isSure: lightest <= surelyWhiteDensity };
}

interface WhiteOfSheet {
  /** Red density up to which a print counts as white, and what the toe stands on. */
  readonly white: number;
  readonly ground: number;
  readonly isSure: boolean;
}

/** Tones of one ink by rising amount, never darker with more of it. */
interface InkRamp {
  readonly amounts: readonly number[];
  readonly densities: readonly number[];
  readonly sigmas: readonly number[];
}

function rampOf(own: readonly PrintedInk[]): InkRamp {
  const rising = [...own].sort((a, b) => a.amount - b.amount);
  const falling = isotonicRegression(
    rising.map(({ density }) => -density),
    rising.map(({ sigma }) => 1 / sigma ** 2),
  );
  return {
    amounts: rising.map(({ amount }) => amount),
    densities: falling.map((value) => 0 - value),
    sigmas: rising.map(({ sigma }) => sigma),
  };
}

/**
 * Least amount whose print, moved by so many sigmas, is as white as wanted. Down a coating's toe density falls as a
 * power of exposure, so its logarithm falls evenly with the film's density, and nearly so with the amount of ink: the
 * place is found along the last two amounts that are darker than white, no further than the first that is white; where
 * there is one such amount, between the two.
 * @returns null when all of the ink prints darker
 */
function amountForWhite(
  { amounts, densities, sigmas }: InkRamp,
  { white, ground }: WhiteOfSheet,
  moved: number,
): number | null {
  const at = (i: number): number => (densities[i] ?? 0) + moved * (sigmas[i] ?? 0);
  const first = amounts.findIndex((_, i) => at(i) <= white);
  if (first < 0) return null;
  if (first === 0) return amounts[0] ?? 0;
  const log = (density: number): number => Math.log(Math.max(density - ground, (white - ground) / 4));
  const [to, from] = [amounts[first] ?? 0, amounts[first - 1] ?? 0];
  const before = log(at(first - 1));
  const earlier = amounts[first - 2];
  // The white amount may lie far down on the ground, where it tells no slope.
  const fall =
    earlier === undefined ? (before - log(at(first))) / (to - from) : (log(at(first - 2)) - before) / (from - earlier);
  return Math.min(to, from + Math.max(0, before - log(white)) / Math.max(fall, 1e-9));
}

/** Part of a step between two amounts by which the place between them is unsure. Our judgement. */
const stepDoubt = 0.35;

function whiteRange(ramp: InkRamp, white: WhiteOfSheet): InkOutcome["whiteFrom"] {
  const likely = amountForWhite(ramp, white, 0);
  if (likely === null) return null;
  const after = ramp.amounts.findIndex((amount) => amount >= likely);
  const step = (ramp.amounts[Math.max(1, after)] ?? 1) - (ramp.amounts[Math.max(1, after) - 1] ?? 0);
  const lower = Math.min(amountForWhite(ramp, white, -rangeSigmas) ?? likely, likely - stepDoubt * step);
  const surely = white.isSure ? amountForWhite(ramp, white, rangeSigmas) : null;
  const upper = surely === null ? null : Math.max(surely, likely + stepDoubt * step);
  return { likely, lower: Math.max(0, lower), upper: upper !== null && upper > 1 ? null : upper };
}

/** Ultraviolet densities of an ink's amounts, its base included. */
function filmOf(own: readonly PrintedInk[], through: InkSheetPrint["through"]): FilmFromPrint["levels"] {
  if (through === null) return [];
  const { curve, exposureSeconds } = through;
  const printed = own.map(({ amount, inCurve }) => ({ level: amount, ...inCurve }));
  return filmFromPrint({ curve, exposureSeconds, printed }).levels;
}

/**
 * Less ink for the same white blocks more; where no amount is white, the palest print does. Ties go to fewer doubts.
 */
function byBlocking(a: InkOutcome, b: InkOutcome): number {
  if (a.whiteFrom !== null && b.whiteFrom !== null) return a.whiteFrom.likely - b.whiteFrom.likely;
  if (a.whiteFrom !== null) return -1;
  if (b.whiteFrom !== null) return 1;
  return a.fullDensity - b.fullDensity;
}

/** How much denser an ink's film must become for white: from its print to the coating's toe; null without a curve. */
function shortDensity(best: InkOutcome, through: InkSheetPrint["through"]): number | null {
  const toe = through?.curve.points.toe?.logH;
  const full = best.film.at(-1);
  if (through === null || toe === undefined || full === undefined) return null;
  return Math.max(0, Math.log10(through.exposureSeconds) - toe - full.filmDensity);
}

/**
 * Reads an ink sheet.
 * @returns inks by how much they block, the strongest first; amounts are shares of each ink, densities ultraviolet
 *   densities of the film with its base; `whiteFrom.upper` is null where not even all of it is surely white
 * Source: H = E t 10^-D solved for D; common practice, no source.
 */
export function inkAnswer({ printed, paperSigma, through }: InkSheetPrint): InkAnswer {
  const names = [...new Set(printed.map(({ ink }) => ink))];
  const ownOf = (ink: string): PrintedInk[] => printed.filter((each) => each.ink === ink);
  const ramps = new Map(names.map((ink) => [ink, rampOf(ownOf(ink))]));
  const white = whiteOfSheet([...ramps.values()], paperSigma ?? 0);
  const inks = [...ramps]
    .map(([ink, ramp]): InkOutcome => ({
      ink,
      fullDensity: ramp.densities.at(-1) ?? 0,
      fullSigma: Math.hypot(ramp.sigmas.at(-1) ?? 0, paperSigma ?? 0),
      whiteFrom: paperSigma === null ? null : whiteRange(ramp, white),
      film: filmOf(ownOf(ink), through).map(({ level, filmDensity, sigmaDensity, bound }) => ({
        amount: level,
        filmDensity,
        sigmaDensity,
        bound,
      })),
    }))
    .sort(byBlocking);
  return { inks, finding: findingOf(inks, { paperSigma, through }) };
}

function findingOf(
  [best]: readonly InkOutcome[],
  { paperSigma, through }: Pick<InkSheetPrint, "paperSigma" | "through">,
): InkFinding {
  if (best === undefined || paperSigma === null) return { code: "paper-unseen" };
  const { ink, whiteFrom, fullDensity } = best;
  if (whiteFrom === null)
    return { code: "ink-short", ink, veilDensity: fullDensity, shortDensity: shortDensity(best, through) };
  if (whiteFrom.upper === null) return { code: "ink-just-enough", ink, likely: whiteFrom.likely };
  return { code: "ink-enough", ink, likely: whiteFrom.likely, lower: whiteFrom.lower, upper: whiteFrom.upper };
}
