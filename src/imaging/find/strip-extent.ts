// Which of the cells along a strip's axis are its steps: inside, tones are even across and never rise towards the pale
// end; beyond the ends, a cell looks like what lies beside it. Every numbering of the boundaries is judged by what it
// leaves unexplained. Numbers: common practice, no source (tuned on rendered scenes).
import { median } from "#shared/statistics/robust.ts";
import { longestFall, type Tone } from "./longest-fall.ts";
import { meanAlong, type StripBand } from "./strip-band.ts";

export interface ExtentCost {
  /** What the numbering leaves unexplained; each cell adds 0 to `mostPerCell`. */
  readonly cost: number;
  /** Cells beyond the dark and the pale end that lie in the picture. */
  readonly cellsBeyond: number;
}

/** The most that one cell counts, inside and outside. */
const mostPerCell = 4;
/** A step that would lie outside the picture counts so much: the whole strip has to be seen. */
const outsidePicture = 1.5;
/**
 * What a step counts that is darker than the ones before it, and one with different tones across: so much for each
 * difference beyond twice what half the steps show, as numbers printed in all of them do, and at most so many.
 */
const worthOfFallen = 3;
const unevenWorth = 0.25;
const usualUnevenness = 2;
const mostUneven = 2;
/** Tones may rise again by so many differences. */
const riseSlack = 1.3;
/** Cells beyond each end that are looked at, and their weights. */
const beyondWeights = [1, 0.8, 0.6, 0.4];
/** The part of a cell that is looked at. */
const cellFrom = 0.2;
const cellTo = 0.8;
/** Tones differ from here on, as a share of the strip's whole fall, and at least this much (log10). */
const toneShare = 0.045;
const leastTone = 0.015;
/**
 * How much all rows of such a cell say, beside the ones next to the long edges, which a torn brush edge leaves alike.
 */
const rowsWorth = 0.7;
/** How many such differences a cell beyond an end may show to what lies beside it. */
const besideSlack = 2;

/** Mean tone of a cell, row by row, and beside it. */
interface Cell {
  readonly rows: readonly number[];
  readonly above: number;
  readonly below: number;
}

/**
 * Cost of one numbering.
 * @param placeOf place along the strip of boundary k, k = 0 at the dark end and `steps` at the pale one
 * @param fall fall of the field over the whole strip
 * @param noise of the field along the strip
 */
export function extentCost(
  band: StripBand,
  {
    placeOf,
    steps,
    fall,
    noise,
  }: {
    readonly placeOf: (k: number) => number;
    readonly steps: number;
    readonly fall: number;
    readonly noise: number;
  },
): ExtentCost {
  const tone = Math.max(leastTone, toneShare * fall, 3 * noise);
  let cost = 0;
  const tones: Tone[] = [];
  const middles: number[] = [];
  const rowsOf: (readonly number[])[] = [];
  for (let k = 0; k < steps; k++) {
    const cell = cellAt(band, placeOf(k), placeOf(k + 1));
    if (cell === null) {
      cost += outsidePicture;
      continue;
    }
    tones.push(middleRows(cell));
    middles.push(median(cell.rows));
    rowsOf.push(cell.rows);
  }
  const spreads = tones.map(({ low, high }) => high - low);
  const usual = spreads.length === 0 ? 0 : usualUnevenness * median(spreads);
  for (const spread of spreads) cost += unevenWorth * bounded((spread - usual) / tone - 1, mostUneven);
  // What lies on a step makes a part of it paler; where a part is darker than the step before, another thing goes on.
  for (let k = 1; k < tones.length; k++) {
    const most = middles[k - 1]! + riseSlack * tone + usual;
    if (tones[k]!.low <= most)
      cost += (worthOfFallen * rowsOf[k]!.filter((row) => row > most).length) / rowsOf[k]!.length;
  }
  // As few as can be left out for the rest to fall; a sticker is left out of every numbering alike.
  cost += worthOfFallen * (tones.length - longestFall(tones, riseSlack * tone));
  let cellsBeyond = 0;
  for (const side of [-1, 1] as const) {
    for (const [i, weight] of beyondWeights.entries()) {
      const k = side < 0 ? -1 - i : steps + i;
      const cell = cellAt(band, placeOf(k), placeOf(k + 1));
      if (cell === null) break;
      cellsBeyond++;
      const unlike = (contrasts: readonly number[]) =>
        contrasts.reduce((sum, contrast) => sum + bounded(contrast / tone / besideSlack - 0.5, mostPerCell), 0) /
        contrasts.length;
      const { rows, above, below } = cell;
      cost +=
        weight *
        (rowsWorth * unlike(rows.map((row) => Math.min(Math.abs(row - above), Math.abs(row - below)))) +
          (1 - rowsWorth) *
            Math.min(unlike([rows[0]! - above].map(Math.abs)), unlike([rows.at(-1)! - below].map(Math.abs))));
    }
  }
  return { cost, cellsBeyond };
}

const bounded = (value: number, most: number): number => Math.min(Math.max(value, 0), most);

function cellAt(band: StripBand, s0: number, s1: number): Cell | null {
  const [from, to] = [s0 + cellFrom * (s1 - s0), s0 + cellTo * (s1 - s0)];
  if (!(to - from > 0.5)) return null;
  const rows = band.plainRowSums.map((sums) => meanAlong(band, sums, from, to));
  if (rows.some(Number.isNaN)) return null;
  return {
    rows,
    above: meanAlong(band, band.beside[0], from, to),
    below: meanAlong(band, band.beside[1], from, to),
  };
}

/** Tones of the rows of a cell, a sixth of them at either end left out. */
function middleRows({ rows }: Cell): Tone {
  const sorted = [...rows].sort((a, b) => a - b);
  const left = Math.floor(sorted.length / 6);
  return { low: sorted[left]!, high: sorted.at(-1 - left)! };
}
