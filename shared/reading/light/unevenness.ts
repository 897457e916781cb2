// How uneven coating and paper are, judged over all steps together: one step alone shows too little of its own clouds.
import { median } from "#shared/statistics/robust.ts";

/** What one step shows: its density, and the densities of blocks across it. */
export interface StepBlocks {
  readonly density: number;
  readonly blocks: readonly number[];
}

/** Median of a chi-square variable with n degrees of freedom over n (Wilson and Hilferty's approximation). */
const medianShare = (n: number) => (1 - 2 / (9 * n)) ** 3;

const variance = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
};

/** Steps paler than this show the paper's own unevenness, darker ones the coating's. */
const paleDensity = 0.25;
/** A step whose blocks spread this much more than the others' (ratio of variances) keeps its own spread. */
const ownSpreadRatio = 6;

/**
 * Standard uncertainty of each step's mean density from unevenness: a constant part (paper, noise) and one that grows
 * with density (coating), estimated over all steps.
 * @param steps densities of at least two blocks across each step
 * @returns one density for each step
 * Source: common practice, no source
 */
export function unevennessSigmas(steps: readonly StepBlocks[]): number[] {
  const own = steps.map(({ blocks }) => (blocks.length >= 2 ? variance(blocks) / blocks.length : Number.NaN));
  const typical = (indices: readonly number[], scaled: (i: number) => number) => {
    if (indices.length === 0) return 0;
    const freedom = median(indices.map((i) => steps[i]!.blocks.length - 1));
    return median(indices.map(scaled)) / medianShare(Math.max(1, Math.round(freedom)));
  };
  const known = own.map((_, i) => i).filter((i) => Number.isFinite(own[i]!));
  const pale = known.filter((i) => steps[i]!.density < paleDensity);
  const dark = known.filter((i) => steps[i]!.density >= paleDensity);
  const constant = typical(pale.length >= 2 ? pale : known, (i) => own[i]!);
  const growing =
    dark.length < 2
      ? 0
      : Math.max(
          0,
          typical(dark, (i) => (own[i]! - (pale.length >= 2 ? constant : 0)) / steps[i]!.density ** 2),
        );
  const base = pale.length >= 2 || dark.length < 2 ? constant : 0;
  return steps.map(({ density }, i) => {
    const pooled = base + growing * Math.max(0, density) ** 2;
    return Math.sqrt(Number.isFinite(own[i]!) && own[i]! > ownSpreadRatio * pooled ? own[i]! : pooled);
  });
}
