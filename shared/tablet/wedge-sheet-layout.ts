// The wedge sheet: grey patches of our own arrangement, printed on the user's film and contact-printed.
// Everything is in millimetres as the print is read: origin at the block's top-left corner, x to the right, y down.
// Levels are positives: 0 wants the darkest blue (clear film), 255 wants paper white (densest film).
import { TroubleError } from "#shared/errors.ts";
import type { SheetTrouble } from "./sheet-troubles.ts";

/** Version of the arrangement; changes whenever any place, level or permutation below changes. */
export const sheetLayoutVersion = 1;

/** Limits and defaults of the sheet's options. */
export const sheetLimits = { levels: [5, 128], replicates: [1, 8], widthMm: [80, 200] } as const;
export const sheetDefaults: SheetOptions = { levels: 41, replicates: 4, widthMm: 160 };

export interface SheetOptions {
  /** Count of different grey levels. */
  readonly levels: number;
  /** How often each level is repeated. */
  readonly replicates: number;
  /** Width of the whole block, its white border included. */
  readonly widthMm: number;
}

interface SheetPatch {
  /** Index into `levels`, from 0. */
  readonly levelIndex: number;
  readonly level: number;
  /** Left upper corner and side of the square. */
  readonly xMm: number;
  readonly yMm: number;
  readonly sizeMm: number;
}

/** A ring mark: dark ring, white ring, dark disc; the top-left one has a white hole in its disc. */
interface SheetMark {
  readonly xMm: number;
  readonly yMm: number;
  readonly hollow: boolean;
}

export interface SheetLayout {
  readonly version: number;
  readonly options: SheetOptions;
  readonly heightMm: number;
  /** The grey levels, rising from 0 to 255. */
  readonly levels: readonly number[];
  readonly patches: readonly SheetPatch[];
  /** Centres of the ring marks: top-left (hollow), top-right, bottom-right, bottom-left. */
  readonly marks: readonly [SheetMark, SheetMark, SheetMark, SheetMark];
  /** Square of the machine-readable code. */
  readonly code: { readonly xMm: number; readonly yMm: number; readonly sizeMm: number };
  /** The patch grid: left upper corner, pitch of its square cells, white gap between patches. */
  readonly grid: {
    readonly xMm: number;
    readonly yMm: number;
    readonly columns: number;
    readonly rows: number;
    readonly pitchMm: number;
    readonly gapMm: number;
  };
}

/** Radii of a ring mark: outside and inside of the dark ring, the dark disc, the hole of the hollow mark [mm]. */
export const markRadiiMm = { outer: 5, inner: 3.9, disc: 2.6, hole: 1.2 } as const;
/** White border of the block [mm]. */
const borderMm = 3;
/** White space between grid and code or marks [mm]. */
const bandGapMm = 4;
/**
 * Side of the machine-readable code [mm]: about 0.9 mm a module, which the weave of ordinary cotton leaves readable in
 * our renderings.
 */
const codeSizeMm = 26;
/** Widest and narrowest cell of the grid [mm]. */
const largestPitchMm = 11;
const smallestPitchMm = 4.5;
/** Share of a cell that stays white, and its least width [mm]. */
const gapShare = 0.18;
const smallestGapMm = 1.2;
/** How much closer than average the levels lie at both ends; toe and shoulder need the most tones. */
const endCrowding = 0.5;
/** Up to this count crowded levels stay distinct whole numbers; above it they are evenly spaced. */
const mostCrowdedLevels = 64;

/**
 * The grey levels of a sheet, rising from 0 to 255, closer together at both ends (u - a sin(2 pi u) / (2 pi), a = 0.5).
 * @param count how many, 5-128
 * @example sheetLevels(5) // [0, 43, 128, 212, 255]
 */
export function sheetLevels(count: number): number[] {
  const a = count <= mostCrowdedLevels ? endCrowding : 0;
  return Array.from({ length: count }, (_, i) => {
    const u = i / (count - 1);
    return Math.round(255 * (u - (a * Math.sin(2 * Math.PI * u)) / (2 * Math.PI)));
  });
}

/** Checked options with defaults filled in. Throws TroubleError naming the field that is out of range. */
function sheetOptions(asked: { readonly [Key in keyof SheetOptions]?: number | undefined }): SheetOptions {
  const value = (field: keyof SheetOptions, whole: boolean): number => {
    const number = asked[field] ?? sheetDefaults[field];
    const [least, most] = sheetLimits[field];
    if (!(number >= least && number <= most) || (whole && !Number.isInteger(number))) {
      throw new TroubleError<SheetTrouble>(
        "bad-request",
        { code: "sheet-option-outside", option: field, isWhole: whole, least, most, given: number },
        { field },
      );
    }
    return whole ? number : Math.round(number * 10) / 10;
  };
  return { levels: value("levels", true), replicates: value("replicates", true), widthMm: value("widthMm", false) };
}

/**
 * The whole arrangement of a sheet.
 * @throws TroubleError when so many patches would be too small for the width
 */
export function sheetLayout(asked: { readonly [Key in keyof SheetOptions]?: number | undefined } = {}): SheetLayout {
  const options = sheetOptions(asked);
  const levels = sheetLevels(options.levels);
  const gridWidthMm = options.widthMm - 2 * (borderMm + 2);
  const { columns, rows } = gridShape(gridWidthMm, options);
  const pitchMm = gridWidthMm / columns;
  const gapMm = Math.max(smallestGapMm, gapShare * pitchMm);
  const gridX = (options.widthMm - gridWidthMm) / 2;
  const gridY = borderMm + codeSizeMm + bandGapMm;
  const heightMm = gridY + rows * pitchMm + bandGapMm + 2 * markRadiiMm.outer + borderMm;
  const indices = scatteredLevels(columns, rows, options);
  const patches = indices.map((levelIndex, cell): SheetPatch => ({
    levelIndex,
    level: levels[levelIndex] as number,
    xMm: gridX + (cell % columns) * pitchMm + gapMm / 2,
    yMm: gridY + Math.floor(cell / columns) * pitchMm + gapMm / 2,
    sizeMm: pitchMm - gapMm,
  }));
  const inset = borderMm + markRadiiMm.outer;
  const mark = (xMm: number, yMm: number, hollow = false): SheetMark => ({ xMm, yMm, hollow });
  const right = options.widthMm - inset;
  const bottom = heightMm - inset;
  return {
    version: sheetLayoutVersion,
    options,
    heightMm,
    levels,
    patches,
    marks: [mark(inset, inset, true), mark(right, inset), mark(right, bottom), mark(inset, bottom)],
    code: { xMm: borderMm + 2 * markRadiiMm.outer + bandGapMm, yMm: borderMm, sizeMm: codeSizeMm },
    grid: { xMm: gridX, yMm: gridY, columns, rows, pitchMm, gapMm },
  };
}

/** The fewest columns whose cells are no wider than 11 mm and whose grid is no taller than wide. */
function gridShape(gridWidthMm: number, options: SheetOptions): { columns: number; rows: number } {
  const cells = options.levels * options.replicates;
  for (let columns = Math.ceil(gridWidthMm / largestPitchMm); gridWidthMm / columns >= smallestPitchMm; columns++) {
    const rows = Math.ceil(cells / columns);
    if (rows <= columns) return { columns, rows };
  }
  throw new TroubleError<SheetTrouble>(
    "bad-request",
    { code: "sheet-patches-too-small", ...options, smallestPatchMm: smallestPitchMm },
    { field: "levels" },
  );
}

/**
 * The level index of every cell, row by row: a fixed permutation without chance.
 * Cells are taken in pairs that face each other through the grid's centre, so a level printed twice feels no straight
 * fall of coating or light from one side to the other. Level i's repeats 2q and 2q+1 go to pair (q N + i) s mod P,
 * where P counts the pairs and s, coprime to P, is the stride for which second-order unevenness (x², y², xy) averages
 * out best over the worst level. An odd last repeat shares pairs two levels at a time. Spare cells print the two ends
 * in turn.
 */
function scatteredLevels(columns: number, rows: number, options: SheetOptions): number[] {
  const cells = columns * rows;
  const pairs = Math.floor(cells / 2);
  let best: number[] = [];
  let bestCost = Infinity;
  for (let stride = 1; stride <= pairs; stride++) {
    if (greatestCommonDivisor(stride, pairs) !== 1) continue;
    const indices = levelsByStride(cells, pairs, stride, options);
    const cost = scatterCost(indices, columns, rows, options.levels);
    if (cost < bestCost) {
      bestCost = cost;
      best = indices;
    }
  }
  return best;
}

function levelsByStride(cells: number, pairs: number, stride: number, { levels, replicates }: SheetOptions): number[] {
  const indices = new Array<number>(cells).fill(-1);
  const doubles = Math.floor(replicates / 2);
  for (let q = 0; q < doubles; q++) {
    for (let i = 0; i < levels; i++) {
      const pair = ((q * levels + i) * stride) % pairs;
      indices[pair] = i;
      indices[cells - 1 - pair] = i;
    }
  }
  if (replicates % 2 === 1) {
    for (let i = 0; i < levels; i++) {
      const slot = doubles * levels + Math.floor(i / 2);
      const pair = (slot * stride) % pairs;
      // The last single level may need the grid's own centre when every pair is taken.
      const cellOfPair = i % 2 === 0 ? pair : cells - 1 - pair;
      const cell = slot < pairs ? cellOfPair : indices.indexOf(-1);
      indices[cell] = i;
    }
  }
  let spare = 0;
  const spareLevel = (): number => (spare++ % 2 === 0 ? 0 : levels - 1);
  return indices.map((index) => (index >= 0 ? index : spareLevel()));
}

/** Worst level's departure from the grid's mean of x², y² and xy, plus that of neighbouring equal tones. */
function scatterCost(indices: readonly number[], columns: number, rows: number, levels: number): number {
  const sums = Array.from({ length: levels }, () => [0, 0, 0, 0, 0, 0]);
  indices.forEach((index, cell) => {
    const x = columns > 1 ? (2 * (cell % columns)) / (columns - 1) - 1 : 0;
    const y = rows > 1 ? (2 * Math.floor(cell / columns)) / (rows - 1) - 1 : 0;
    const sum = sums[index] as number[];
    [1, x, y, x * x, y * y, x * y].forEach((term, k) => {
      sum[k] = (sum[k] as number) + term;
    });
  });
  const mean = [0, 1, 2, 3, 4, 5].map(
    (k) => sums.reduce((total, sum) => total + (sum[k] as number), 0) / indices.length,
  );
  let worst = 0;
  for (const sum of sums) {
    let cost = 0;
    for (let k = 1; k < 6; k++) cost += ((sum[k] as number) / (sum[0] as number) - (mean[k] as number)) ** 2;
    worst = Math.max(worst, cost);
  }
  return worst;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
