// What could be blue print and what cannot, by colour alone: on iron blue green light falls off along with red, so a
// place that is bluer than the paper in blue over red but greener than it in blue over green (a cutting mat, grass) is
// something else. Numbers: common practice, no source (an iron blue's green density is a third to two thirds of its red
// one above blue).
import { valueAtRank } from "#shared/statistics/value-at-rank.ts";

/** Mean linear light over square blocks of the small picture. */
export interface ColourBlocks {
  readonly columns: number;
  readonly rows: number;
  /** Side of a block [small px]. */
  readonly sidePx: number;
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
}

/** What the paper's own colour adds to blueness, and how far each block may count as print. */
export interface PrintColour {
  /** log10 of blue over red light of the brightest large surface. */
  readonly paperBlueness: number;
  /** 0 (something else) to 1 (paper or print) for each block. */
  readonly share: Float32Array;
}

/** Light below this share of white is lost in noise. */
const floor = 0.004;
/** The brightest surface: at least this share of the light that one block in twenty exceeds. */
const brightRank = 0.95;
const brightShare = 0.7;
/** Green density above blue, below which a bluish place is no print, and from which on it may be. */
const noPrintBelow = -0.09;
const printFrom = -0.03;
/**
 * ... and so much more of both for each unit of blueness: of an iron blue it is a quarter to two thirds, of a green
 * mat next to nothing.
 */
const leastGreenShare = 0.2;

/** Judges every block by its colour. */
export function printColour(blocks: ColourBlocks): PrintColour {
  const { red, green, blue } = blocks;
  const count = red.length;
  const brightest = valueAtRank(Float32Array.from(green), Math.floor(count * brightRank));
  const bright: number[] = [];
  for (let i = 0; i < count; i++) if (green[i]! >= brightShare * brightest) bright.push(i);
  const middle = (ratio: (i: number) => number) =>
    valueAtRank(Float32Array.from(bright, ratio), Math.floor(bright.length / 2));
  const log = (a: number, b: number) => Math.log10((Math.max(a, 0) + floor) / (Math.max(b, 0) + floor));
  const paperBlueness = middle((i) => log(blue[i]!, red[i]!));
  const paperBlueOverGreen = middle((i) => log(blue[i]!, green[i]!));
  const share = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const overGreen = log(blue[i]!, green[i]!) - paperBlueOverGreen;
    const blueness = Math.max(0, log(blue[i]!, red[i]!) - paperBlueness);
    const asPrint = overGreen - leastGreenShare * blueness;
    share[i] = Math.min(Math.max((asPrint - noPrintBelow) / (printFrom - noPrintBelow), 0), 1);
  }
  return { paperBlueness, share };
}
