// What one more sheet, or one more picture, would tell most: the choice that narrows the next print's range furthest.
import type { RangeSource } from "#shared/schema/curve.ts";

/** What one could do next. */
export type NextSheet =
  | "several-photos"
  | "grey-patches"
  | "repeat-today"
  | "another-day"
  | "coat-wider"
  | "head-to-tail"
  | "calibrate-tablet";

export interface Narrowing {
  readonly what: NextSheet;
  /** Expected information about the next print's time, in bits. */
  readonly bits: number;
  /** Factor by which the next print's range is expected to shrink, 0-1. */
  readonly widthShare: number;
}

/** Variances [log10 squared] of one test, by source. */
export type SourceVariances = Readonly<Partial<Record<RangeSource, number>>>;

/** So much of the variance between prints is the day's: humidity, bottle, wash. Source: common practice, no source. */
const dayShare = 0.5;
/** So much of not knowing the shape stays with every strip of the same coating. Source: common practice, no source. */
const lastingShapeShare = 0.5;
/**
 * Two strips head to tail cancel a straight change of the coating, not its bow: with what is usual of both, and a
 * shoulder half-way from the middle to the end, the bow makes so much of their variance: (0.75 x 1 %)^2 of (0.5 x 1.2
 * %)^2 and itself. Source: common practice, no source.
 */
const bowShare = 0.6;
/**
 * Coating seen beside the strip leaves so much of the coating's variance: 0.45 % against the 1.4 % of even, usual and
 * bad ones together. Source: simulated tests.
 */
const besideShare = 0.1;
/**
 * Scale of a tablet in ultraviolet after a print at t and 2 t against its label: 0.5 % against 2.5 %. common practice,
 * no source
 */
const calibratedScaleShare = (0.005 / 0.025) ** 2;
/**
 * Pictures at other exposures show the camera's contrast but not its stray light; patches show both: share of the
 * camera's variance that stays. common practice, no source
 */
const severalPhotosShare = 0.6;
const greyPatchesShare = 0.05;
/** A choice must promise this much more than a cheaper one to be named instead. common practice, no source */
const worthBits = 0.02;

/**
 * What each choice would leave of the variance of the next print's time, were it done: independent parts of two prints
 * average by their weights, what both share (tablet, camera, film, half of the shape) does not.
 * @param variances of this test at the wanted depth
 * @param printVariance scatter of one print about the combination's mean
 * @param tabletScaleShare share (0-1) of the whole tablet's variance that its scale makes, the rest being its base
 * @returns cheapest first
 * Source: inverse variances add (the usual law of weighted means); information of a normal variable is half the
 *   logarithm of the ratio of its variances, Lindley1956.
 */
export function narrowings({
  variances,
  printVariance,
  tabletScaleShare,
}: {
  variances: SourceVariances;
  printVariance: number;
  tabletScaleShare: number;
}): Narrowing[] {
  const of = (source: RangeSource) => variances[source] ?? 0;
  const tablet = of("tablet-scale-and-base");
  const camera = of("camera");
  const shape = of("curve-shape");
  const shared = of("tablet-steps") + tablet + camera + of("film-base") + lastingShapeShare * shape;
  const noise = of("steps") + (1 - lastingShapeShare) * shape;
  const own = noise + of("coating-gradient");
  const dayVariance = dayShare * printVariance;
  const withinDay = printVariance - dayVariance;
  const now = shared + own + 2 * printVariance;
  const bothOf = (a: number, b: number) => (a + b > 0 ? (a * b) / (a + b) : 0);
  const twoDays = bothOf(own + printVariance, own + printVariance) + printVariance;
  const left: readonly [NextSheet, number][] = [
    ["several-photos", now - (1 - severalPhotosShare) * camera],
    ["grey-patches", now - (1 - greyPatchesShare) * camera],
    ["repeat-today", shared + bothOf(own + withinDay, own + withinDay) + dayVariance + printVariance],
    ["another-day", shared + twoDays],
    [
      "coat-wider",
      shared +
        bothOf(own + printVariance, noise + besideShare * of("coating-gradient") + printVariance) +
        printVariance,
    ],
    [
      "head-to-tail",
      shared +
        bothOf(own + printVariance, noise / 2 + bowShare * of("coating-gradient") + printVariance) +
        printVariance,
    ],
    ["calibrate-tablet", shared - tablet * tabletScaleShare * (1 - calibratedScaleShare) + twoDays],
  ];
  return left.map(([what, variance]) => ({
    what,
    bits: 0.5 * Math.log2(now / Math.max(variance, 1e-12)),
    widthShare: Math.sqrt(variance / now),
  }));
}

/**
 * The choice that tells most; of two that tell almost alike the cheaper one.
 * @param canCalibrate whether a film tablet lay on the print
 * @param canCoatWider whether the coating's slope has not been seen yet
 */
export function mostTelling(
  choices: readonly Narrowing[],
  { canCalibrate, canCoatWider = true }: { canCalibrate: boolean; canCoatWider?: boolean },
): Narrowing | null {
  let best: Narrowing | null = null;
  for (const choice of choices) {
    if (choice.what === "calibrate-tablet" && !canCalibrate) continue;
    if (choice.what === "coat-wider" && !canCoatWider) continue;
    if (choice.bits > (best?.bits ?? 0) + worthBits) best = choice;
  }
  return best;
}
