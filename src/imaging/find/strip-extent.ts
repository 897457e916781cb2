// Which of the cells along a strip's axis are its steps: inside, tones are even across and never rise towards the pale
// end; beyond the ends, a cell looks like what lies beside it. Every numbering of the boundaries is judged by what it
// leaves unexplained. Numbers: common practice, no source (tuned on rendered scenes).
import { median } from "#shared/statistics/robust.ts";
import { longestFall, type Tone } from "./longest-fall.ts";
import { meanAlong, type StripBand } from "./strip-band.ts";

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
  /** The middle one of its rows. */
  readonly middle: number;
  /** ... and what they lie between, a sixth of them at either end left out. */
  readonly tone: Tone;
  readonly above: number;
  readonly below: number;
}

/** The cell between boundary k and the next one; null where it does not lie in the picture. */
export type CellOf = (k: number) => Cell | null;

/**
 * The cells along a band, each worked out once.
 * @param placeOf place along the strip of boundary k, k = 0 at the dark end
 */
export function cellsAlong(band: StripBand, placeOf: (k: number) => number): CellOf {
  const known = new Map<number, Cell | null>();
  return (k) => {
    const before = known.get(k);
    if (before !== undefined) return before;
    const cell = cellAt(band, placeOf(k), placeOf(k + 1));
    known.set(k, cell);
    return cell;
  };
}

/**
 * Cost of one numbering: what it leaves unexplained, 0 to `mostPerCell` for each cell.
 * @param cellOf the cells by number, 0 at the dark end, `steps` - 1 at the pale one
 * @param fall fall of the field over the whole strip
 * @param noise of the field along the strip
 */
export function extentCost(
  cellOf: CellOf,
  { steps, fall, noise }: { readonly steps: number; readonly fall: number; readonly noise: number },
): number {
  const tone = toneOf(fall, noise);
  let cost = 0;
  const cells: Cell[] = [];
  for (let k = 0; k < steps; k++) {
    const cell = cellOf(k);
    if (cell === null) cost += outsidePicture;
    else cells.push(cell);
  }
  const tones = cells.map((cell) => cell.tone);
  const spreads = tones.map(({ low, high }) => high - low);
  const usual = spreads.length === 0 ? 0 : usualUnevenness * median(spreads);
  for (const spread of spreads) cost += unevenWorth * bounded((spread - usual) / tone - 1, mostUneven);
  // What lies on a step makes a part of it paler; where a part is darker than the step before, another thing goes on.
  for (let k = 1; k < tones.length; k++) {
    const most = cells[k - 1]!.middle + riseSlack * tone + usual;
    const { rows } = cells[k]!;
    if (tones[k]!.low <= most) cost += (worthOfFallen * rows.filter((row) => row > most).length) / rows.length;
  }
  // As few as can be left out for the rest to fall; a sticker is left out of every numbering alike.
  cost += worthOfFallen * (tones.length - longestFall(tones, riseSlack * tone));
  const surround = cells.length === 0 ? null : coatedSurround(cells, tone);
  for (const side of [-1, 1] as const) {
    for (const [i, weight] of beyondWeights.entries()) {
      const cell = cellOf(side < 0 ? -1 - i : steps + i);
      if (cell === null) break;
      cost += weight * costOfCellBeyond(cell, tone, surround);
    }
  }
  return cost;
}

/** By how much tones differ (log10). */
const toneOf = (fall: number, noise: number): number => Math.max(leastTone, toneShare * fall, 3 * noise);

/** Whether coating that was exposed without the tablet lies round the steps. */
export function isCoatingAround(
  cellOf: CellOf,
  { steps, fall, noise }: { readonly steps: number; readonly fall: number; readonly noise: number },
): boolean {
  const cells = Array.from({ length: steps }, (_, k) => cellOf(k)).filter((cell) => cell !== null);
  return cells.length > 0 && coatedSurround(cells, toneOf(fall, noise)) !== null;
}

/** Tones of coating that was exposed without the tablet, and of what lies between its torn edges. */
interface Surround {
  readonly coated: number;
  readonly bare: number;
}

/** A surround is coated where so great a share of what lies beside the steps is as dark as the darkest of them. */
const coatedShare = 0.15;
/** ... and torn where so great a share shows what lies under it. */
const bareShare = 0.05;
/** The coating may miss the darkest step by so many tones. */
const coatedSlack = 3;

/** The tones of a coated surround, whose torn edges show what lies under it; null where none is seen. */
function coatedSurround(cells: readonly Cell[], tone: number): Surround | null {
  const beside = cells
    .flatMap(({ above, below }) => [above, below])
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  if (beside.length === 0) return null;
  const coated = beside[Math.floor((1 - coatedShare / 2) * beside.length)]!;
  const darkest = Math.max(...cells.map(({ middle }) => middle));
  const dark = beside.filter((value) => value > darkest - coatedSlack * tone).length;
  if (dark < coatedShare * beside.length) return null;
  return { coated, bare: beside[Math.floor(bareShare * beside.length)]! };
}

/** How unlike what lies beside it a cell beyond an end is. @param tone by which tones differ (log10) */
function costOfCellBeyond({ rows, above, below }: Cell, tone: number, surround: Surround | null): number {
  const unlike = (contrast: number): number => bounded(contrast / tone / besideSlack - 0.5, mostPerCell);
  const toSurround = (row: number): number =>
    surround === null ? Infinity : Math.min(Math.abs(row - surround.coated), Math.abs(row - surround.bare));
  const all = rows.reduce(
    (sum, row) => sum + unlike(Math.min(Math.abs(row - above), Math.abs(row - below), toSurround(row))),
    0,
  );
  const outerOf = (row: number, beside: number): number => unlike(Math.min(Math.abs(row - beside), toSurround(row)));
  const outer = Math.min(outerOf(rows[0]!, above), outerOf(rows.at(-1)!, below));
  const cost = rowsWorth * (all / rows.length) + (1 - rowsWorth) * outer;
  // Round a strip on paper nothing is torn: what stands out at both long edges is a step under a sticker.
  return surround === null ? Math.max(cost, outer) : cost;
}

const bounded = (value: number, most: number): number => Math.min(Math.max(value, 0), most);

function cellAt(band: StripBand, s0: number, s1: number): Cell | null {
  const [from, to] = [s0 + cellFrom * (s1 - s0), s0 + cellTo * (s1 - s0)];
  if (!(to - from > 0.5)) return null;
  const rows = band.plainRowSums.map((sums) => meanAlong(band, sums, from, to));
  if (rows.some(Number.isNaN)) return null;
  const sorted = [...rows].sort((a, b) => a - b);
  const left = Math.floor(sorted.length / 6);
  return {
    rows,
    middle: median(rows),
    tone: { low: sorted[left]!, high: sorted.at(-1 - left)! },
    above: meanAlong(band, band.beside[0], from, to),
    below: meanAlong(band, band.beside[1], from, to),
  };
}
