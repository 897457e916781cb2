// From many scattered patches to one tone a level: replicates averaged, smooth unevenness taken out, uncertainty from
// their scatter.
import { median } from "#shared/statistics/robust.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

export interface SheetPatchValue {
  readonly levelIndex: number;
  /** Place, -1 to 1 across the patch grid. */
  readonly x: number;
  readonly y: number;
  /** Density above paper. */
  readonly density: number;
  /** False for patches that cannot be trusted (clipped, a hair on them): they count for nothing. */
  readonly usable: boolean;
}

interface SheetTone {
  /** Mean density of the level on an evenly coated print, NaN-free; null when no patch of the level was usable. */
  readonly density: number | null;
  /** Standard uncertainty of `density`. */
  readonly sigma: number;
  readonly patches: number;
}

export interface SheetTones {
  /** One for each level, in order. */
  readonly tones: readonly SheetTone[];
  /** Which patches were left out as wild, by index. */
  readonly wild: readonly boolean[];
  /**
   * Share by which a three-quarter tone is denser at a place than its mean over the sheet; all zero when no smooth part
   * is significant.
   */
  readonly unevennessAt: (x: number, y: number) => number;
  /** Standard deviation of single patches about their tone, as a share of the darkest tone's density. */
  readonly scatterShare: number;
}

/** Scatter that even a perfect print shows: rounding, blur, paper grain [density]. */
const leastSigma = 0.002;
/** Patches further than this many standard deviations from their tone are wild. Normal scatter loses 1 in 30 000. */
const wildBeyond = 4.2;
/**
 * The smooth part must lower the sum of squares by this factor for each of its terms, compared with what is left for
 * each patch (F test, about 1 % for many patches).
 */
const leastF = 2.6;
const rounds = 4;

/** Smooth forms without a mean over the square: slopes, bowls and saddle. */
const forms = (x: number, y: number): number[] => [x, y, x * x - 1 / 3, y * y - 1 / 3, x * y];

/**
 * Tones of a wedge sheet's print.
 * Thicker coating raises all densities alike; more light raises those in the middle of the scale most. Both kinds of
 * smooth unevenness are fitted together, as density x form and density x (1 - density / maximum) x form.
 * @param patches every patch of the print
 * @param levelCount number of levels
 */
export function sheetTones(patches: readonly SheetPatchValue[], levelCount: number): SheetTones {
  const wild = patches.map(() => false);
  const shares = { thickness: [0, 0, 0, 0, 0], light: [0, 0, 0, 0, 0] };
  let means = levelMeans(patches, levelCount, wild, () => 0, true);
  let most = greatest(means);
  const lift = (patch: SheetPatchValue, mean: number): number => {
    const form = forms(patch.x, patch.y);
    return form.reduce(
      (sum, value, k) => sum + value * (shares.thickness[k]! * mean + shares.light[k]! * mean * (1 - mean / most)),
      0,
    );
  };
  let scatter = patches.map(() => leastSigma);
  for (let round = 0; round < rounds; round++) {
    const residual = patches.map((patch) => patch.density - (means[patch.levelIndex] ?? 0));
    scatter = localScatter(
      patches,
      means,
      residual.map((value, i) => value - lift(patches[i]!, means[patches[i]!.levelIndex] ?? 0)),
      wild,
    );
    const used = patches
      .map((patch, i) => ({ patch, i }))
      .filter(({ patch, i }) => patch.usable && !wild[i] && means[patch.levelIndex] !== null);
    fitShares(
      used.map(({ patch, i }) => ({
        patch,
        mean: means[patch.levelIndex]!,
        residual: residual[i]!,
        sigma: scatter[i]!,
      })),
      most,
      levelCount,
      shares,
    );
    means = levelMeans(patches, levelCount, wild, lift, false, means);
    most = greatest(means);
    patches.forEach((patch, i) => {
      const mean = means[patch.levelIndex] ?? null;
      wild[i] =
        patch.usable && mean !== null && Math.abs(patch.density - mean - lift(patch, mean)) > wildBeyond * scatter[i]!;
    });
    keepHalf(patches, wild, levelCount);
  }
  const tones = means.map((density, levelIndex): SheetTone => {
    const own = patches
      .map((patch, i) => ({ patch, i }))
      .filter(({ patch, i }) => patch.levelIndex === levelIndex && patch.usable && !wild[i]);
    const variance = own.reduce((sum, { i }) => sum + scatter[i]! ** 2, 0) / Math.max(1, own.length);
    return { density, sigma: Math.sqrt(variance / Math.max(1, own.length)), patches: own.length };
  });
  const dark = patches.flatMap((patch, i) => ((means[patch.levelIndex] ?? 0) > 0.5 * most ? [scatter[i]!] : []));
  const tone = 0.75;
  return {
    tones,
    wild,
    unevennessAt: (x, y) =>
      forms(x, y).reduce((sum, value, k) => sum + value * (shares.thickness[k]! + shares.light[k]! * (1 - tone)), 0),
    scatterShare:
      dark.length === 0 || most <= 0
        ? 0
        : Math.sqrt(dark.reduce((sum, value) => sum + value * value, 0) / dark.length) / most,
  };
}

/**
 * Mean density of each level with the smooth part taken off; medians in the first round, when wild patches are not yet
 * known.
 */
function levelMeans(
  patches: readonly SheetPatchValue[],
  levelCount: number,
  wild: readonly boolean[],
  lift: (patch: SheetPatchValue, mean: number) => number,
  isFirstRound: boolean,
  before?: readonly (number | null)[],
): (number | null)[] {
  return Array.from({ length: levelCount }, (_, levelIndex) => {
    const mean = before?.[levelIndex] ?? 0;
    const values = patches.flatMap((patch, i) =>
      patch.levelIndex === levelIndex && patch.usable && !wild[i] ? [patch.density - lift(patch, mean)] : [],
    );
    if (values.length === 0) return null;
    return isFirstRound ? median(values) : values.reduce((sum, value) => sum + value, 0) / values.length;
  });
}

const greatest = (means: readonly (number | null)[]): number => Math.max(0.01, ...means.map((mean) => mean ?? 0));

/**
 * Standard deviation of a single patch, pooled over levels of similar density; replicates alone are too few to tell.
 */
function localScatter(
  patches: readonly SheetPatchValue[],
  means: readonly (number | null)[],
  residual: readonly number[],
  wild: readonly boolean[],
): number[] {
  const counts = means.map(
    (_, levelIndex) => patches.filter((patch, i) => patch.levelIndex === levelIndex && patch.usable && !wild[i]).length,
  );
  const known = patches.flatMap((patch, i) => {
    const count = counts[patch.levelIndex]!;
    // A level's mean follows its own patches: their residuals are too small by (n - 1) / n.
    return patch.usable && !wild[i] && count > 1
      ? [{ mean: means[patch.levelIndex]!, square: (residual[i]! ** 2 * count) / (count - 1) }]
      : [];
  });
  const most = greatest(means);
  const byLevel = means.map((mean) => {
    let [sum, weight] = [0, 0];
    for (const { mean: other, square } of known) {
      const near = Math.exp(-(((other - (mean ?? 0)) / (0.15 * most)) ** 2) / 2);
      sum += near * square;
      weight += near;
    }
    return Math.max(leastSigma, weight < 1 ? 0.03 * (mean ?? 0) : Math.sqrt(sum / weight));
  });
  return patches.map((patch) => byLevel[patch.levelIndex]!);
}

interface Departure {
  readonly patch: SheetPatchValue;
  readonly mean: number;
  readonly residual: number;
  readonly sigma: number;
}

/** Fits both kinds of smooth unevenness, and keeps the richest model that the scatter bears out. Changes `shares`. */
function fitShares(
  departures: readonly Departure[],
  most: number,
  levelCount: number,
  shares: { thickness: number[]; light: number[] },
): void {
  const spare = departures.length - levelCount;
  shares.thickness.fill(0);
  shares.light.fill(0);
  if (spare < 12) return;
  const plain = departures.reduce((sum, { residual, sigma }) => sum + (residual / sigma) ** 2, 0);
  for (const kinds of [["thickness", "light"], ["thickness"], ["light"]] as const) {
    const design = departures.map(({ patch, mean }) =>
      kinds.flatMap((kind) =>
        forms(patch.x, patch.y).map((form) => form * mean * (kind === "light" ? 1 - mean / most : 1)),
      ),
    );
    const terms = design[0]!.length;
    if (spare < 2 * terms) continue;
    try {
      const fit = linearLeastSquares({
        design,
        response: departures.map(({ residual }) => residual),
        sigma: departures.map(({ sigma }) => sigma),
      });
      const f = (plain - fit.residualSumSquares) / terms / (fit.residualSumSquares / (spare - terms));
      if (!(f > leastF)) continue;
      kinds.forEach((kind, at) => shares[kind].splice(0, 5, ...fit.coefficients.slice(5 * at, 5 * at + 5)));
      return;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error; // too few different places for so many terms
    }
  }
}

/** A level never loses half or more of its patches: then the scatter, not the patches, was misjudged. */
function keepHalf(patches: readonly SheetPatchValue[], wild: boolean[], levelCount: number): void {
  for (let levelIndex = 0; levelIndex < levelCount; levelIndex++) {
    const own = patches.flatMap((patch, i) => (patch.levelIndex === levelIndex && patch.usable ? [i] : []));
    if (own.filter((i) => wild[i]).length * 2 >= own.length) for (const i of own) wild[i] = false;
  }
}
