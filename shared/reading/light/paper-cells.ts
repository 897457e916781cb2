// Which patches beside the strip are unexposed paper, and which are exposed coating, a table or something else.
import type { PaperCell } from "./light-field.ts";

/** One patch beside the strip, as measured. */
export interface MarginCell {
  readonly u: number;
  readonly v: number;
  /** Patches that lie on the same side at the same distance share a band. */
  readonly band: string;
  /** Mean linear light. */
  readonly mean: readonly [number, number, number];
  /** Standard uncertainty of the natural logarithm of that light. */
  readonly sigma: number;
  /** Robust spread inside the patch as a share of its mean. */
  readonly spreadShare: number;
  readonly insideShare: number;
  readonly clippedShare: number;
}

/** A step's own light, for comparison with the patches next to it. */
export interface StepLight {
  readonly u: number;
  readonly mean: readonly [number, number, number];
}

/** A patch with more spread than this inside is not one surface. */
const mostSpreadShare = 0.1;
/** Paper is never darker than a step beside it by more than this share in any channel. */
const darkerSlack = 0.06;
/** A patch with more overexposed pixels than this has a bent mean. */
const mostClippedShare = 0.02;
/** How far paper's colour may lie from that of the least exposed steps towards blue (log10 of blue over red). */
const blueSlack = 0.03;
/** ... and away from blue: the least exposed step may itself still be printed to this density difference. */
const paleSlack = 0.7;
/**
 * Palest step bluer than this (log10 of blue over red): no step is near paper, so paper is told by being nearly neutral
 * instead.
 */
const allStepsDeep = 0.3;
/** Nearly neutral: most log10 of blue, and of green, over red. */
const neutralSlack = { blue: 0.12, green: 0.08 } as const;
/** How far green may stray from the line along which the steps turn blue (log10). Stain stays below this. */
const hueSlack = 0.05;
/** A band in which more than this share of patches is something else is not the print's margin. */
const mostStrangers = 0.35;

const log10Ratio = (a: number, b: number) => Math.log10(Math.max(a, 1e-6) / Math.max(b, 1e-6));

export interface PaperChoice {
  readonly paper: readonly PaperCell[];
  /** Share of the paper patches that are overexposed. */
  readonly clippedShare: number;
}

/**
 * The patches that are unexposed paper.
 * @param cells patches beside the strip
 * @param steps the steps' own light, in order along the strip
 * @param colour false for grey pictures, where hue says nothing
 */
export function choosePaper(cells: readonly MarginCell[], steps: readonly StepLight[], colour: boolean): PaperChoice {
  const blueness = (mean: readonly [number, number, number]) => log10Ratio(mean[2], mean[0]);
  const greenness = (mean: readonly [number, number, number]) => log10Ratio(mean[1], mean[0]);
  const sorted = [...steps].sort((a, b) => blueness(a.mean) - blueness(b.mean));
  // The palest two neighbours, not the palest step: a sticker on one step must not pass for paper.
  const bluer = (a: StepLight, b: StepLight) => (blueness(a.mean) > blueness(b.mean) ? a : b);
  const pale = steps
    .slice(1)
    .map((step, i) => bluer(step, steps[i]!))
    .reduce((a, b) => (bluer(a, b) === a ? b : a));
  const paleBlue = blueness(pale.mean);
  const paleGreen = greenness(pale.mean);
  const deep = sorted[Math.floor(sorted.length * 0.6)]!;
  const rise = blueness(deep.mean) - paleBlue;
  // Green over red rises with blue over red along one line while the steps turn blue; paper lies on that line's near
  // end.
  const slope = rise > 0.05 ? Math.min(Math.max((greenness(deep.mean) - paleGreen) / rise, 0), 1) : 0.6;
  const nearest = (u: number) =>
    steps.reduce((best, step) => (Math.abs(step.u - u) < Math.abs(best.u - u) ? step : best));
  const brightest = steps.reduce((best, step) => (step.mean[0] > best.mean[0] ? step : best));

  type Judged = "paper" | "blue" | "stranger" | "unseen";
  const judge = (cell: MarginCell): Judged => {
    if (cell.insideShare < 0.9) return "unseen";
    const beside = nearest(cell.u);
    if (colour) {
      const p = blueness(cell.mean);
      const isNeutral = Math.abs(p) < neutralSlack.blue && Math.abs(greenness(cell.mean)) < neutralSlack.green;
      if (p > paleBlue + blueSlack) return "blue";
      if (paleBlue > allStepsDeep) {
        if (!isNeutral) return "stranger";
      } else if (p < paleBlue - paleSlack) return "stranger";
      else if (Math.abs(greenness(cell.mean) - (paleGreen + slope * (p - paleBlue))) > hueSlack) return "stranger";
    } else if (cell.mean[0] < brightest.mean[0] * 0.5) return "blue";
    if (cell.spreadShare > mostSpreadShare) return "stranger";
    if (cell.mean.some((light, c) => light < beside.mean[c]! * (1 - darkerSlack))) return colour ? "stranger" : "blue";
    return "paper";
  };

  const judged = cells.map((cell) => ({ cell, as: judge(cell) }));
  const bands = new Map<string, { strangers: number; seen: number }>();
  for (const { cell, as } of judged) {
    if (as === "unseen") continue;
    const band = bands.get(cell.band) ?? { strangers: 0, seen: 0 };
    band.seen++;
    if (as === "stranger") band.strangers++;
    bands.set(cell.band, band);
  }
  const trusted = (band: string) => {
    const counts = bands.get(band);
    return counts !== undefined && counts.strangers / counts.seen <= mostStrangers;
  };
  return {
    paper: judged
      .filter(({ cell, as }) => as === "paper" && trusted(cell.band) && cell.clippedShare < mostClippedShare)
      .map(({ cell }) => ({
        u: cell.u,
        v: cell.v,
        logLight: [
          Math.log(cell.mean[0]),
          Math.log(Math.max(cell.mean[1], 1e-6)),
          Math.log(Math.max(cell.mean[2], 1e-6)),
        ],
        sigma: cell.sigma,
      })),
    clippedShare: clippedOf(judged.filter(({ as }) => as === "paper").map(({ cell }) => cell)),
  };
}

/** Share of patches of which more than a few pixels are at the end of the scale. */
function clippedOf(cells: readonly MarginCell[]): number {
  return cells.length === 0 ? 0 : cells.filter((cell) => cell.clippedShare >= mostClippedShare).length / cells.length;
}
