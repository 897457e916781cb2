// A small copy of the picture on which the strip is looked for: how blue and how dark every place is.
import type { Matrix3 } from "#shared/density/matrix.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";
import type { Field } from "./smoothed-field.ts";
import { printColour, type ColourBlocks } from "./print-colour.ts";

export interface SmallPicture {
  readonly width: number;
  readonly height: number;
  /** Full pixels for one small pixel. */
  readonly factor: number;
  /** -log10 of red light: how dark the place is. Worked out when it is first asked for. */
  readonly darkness: Field;
  /**
   * log10 of blue over red light above the paper's: how blue the place is, whatever the light falling on it, 0 where it
   * is no print; null for grey pictures.
   */
  readonly blueness: Field | null;
  /** -log10 of green light; null for grey pictures. Worked out when it is asked for. */
  readonly greenDarkness: () => Field | null;
}

/** Longest side of the small picture: a step of a long tablet still covers ten pixels. */
const longSide = 1400;
/** Light below this share is lost in noise; it keeps logarithms quiet. */
const darkFloor = 0.004;
/** Pixels read for one small pixel, along each side; more would only cost time. */
const mostReads = 3;
/** Side of the blocks whose colour says whether they can be print [small px]. */
const blockPx = 8;
/** Things less blue than paper (wood, skin) count as this blue at least, so that their grain shows no edges. */
const leastBlueness = -0.06;

/** A part of a picture [px]. */
export interface PictureBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** The small copy of a picture, or of a part of it. */
export function smallPicture(
  raster: Raster,
  longest = longSide,
  box: PictureBox = { left: 0, top: 0, width: raster.width, height: raster.height },
): SmallPicture {
  const factor = Math.max(1, Math.max(box.width, box.height) / longest);
  const width = Math.max(1, Math.floor(box.width / factor));
  const height = Math.max(1, Math.floor(box.height / factor));
  const reads = Math.min(mostReads, Math.max(1, Math.round(factor)));
  /** Where along a side of the picture each small pixel is read, one place after the other. */
  const places = (count: number, from: number, most: number, step: number) =>
    Int32Array.from(
      { length: count * reads },
      (_, i) =>
        step *
        Math.min(most - 1, from + Math.floor(Math.floor(i / reads) * factor + (((i % reads) + 0.5) * factor) / reads)),
    );
  const columns = places(width, box.left, raster.width, raster.channels);
  const rows = places(height, box.top, raster.height, raster.channels * raster.width);
  const fieldOf = (
    channels: readonly number[],
    valuesOfRow: (values: Float32Array, light: RowLight) => void,
  ): Field => {
    const values = new Float32Array(width * height);
    const light: RowLight = [new Float64Array(width), new Float64Array(width), new Float64Array(width)];
    for (let y = 0; y < height; y++) {
      const rowsHere = rows.subarray(y * reads, (y + 1) * reads);
      for (const channel of channels) meanOfRow(light[channel]!, raster, channel, { columns, rows: rowsHere });
      if (raster.matrix !== null) intoSrgb(light, raster.matrix);
      valuesOfRow(values.subarray(y * width, (y + 1) * width), light);
    }
    return { width, height, values };
  };
  const withMatrix = raster.matrix !== null;
  const printBlueness = (): Field =>
    onPrintOnly(
      reads === 1
        ? bluenessOfCodes(raster, { columns, rows, reads, width, height })
        : fieldOf(withMatrix ? [0, 1, 2] : [0, 2], bluenessOfRow),
      colourBlocks(raster, { columns, rows, reads, width, height }),
    );
  let darkness: Field | null = null;
  return {
    width,
    height,
    factor,
    get darkness() {
      darkness ??= fieldOf(withMatrix ? [0, 1, 2] : [0], (values, [red]) => darknessOfRow(values, red));
      return darkness;
    },
    blueness: raster.channels === 1 ? null : printBlueness(),
    greenDarkness: () =>
      raster.channels === 1
        ? null
        : fieldOf(withMatrix ? [0, 1, 2] : [1], (values, [, green]) => darknessOfRow(values, green)),
  };
}

/** Mean red, green and blue light along one row of the small picture. */
type RowLight = readonly [Float64Array, Float64Array, Float64Array];

// What runs for each pixel stands in functions of a row: called often, they are made quick early, in the first picture
// already.

function meanOfRow(
  light: Float64Array,
  { data, linear }: Raster,
  channel: number,
  { columns, rows }: { columns: Int32Array; rows: Int32Array },
): void {
  const table = linear[channel]!;
  const reads = rows.length;
  const from = (row: number): number => rows[row]! + channel;
  if (reads === 1) lightAt(light, data, table, { columns, from: from(0) });
  else if (reads === 2) twoByTwo(light, data, table, { columns, from: [from(0), from(1)] });
  else threeByThree(light, data, table, { columns, from: [from(0), from(1), from(2)] });
}

// The three cases are written out, because loops over the places read take twice as long.

function lightAt(
  light: Float64Array,
  data: Raster["data"],
  table: Float32Array,
  { columns, from }: { columns: Int32Array; from: number },
): void {
  for (let x = 0; x < light.length; x++) light[x] = table[data[from + columns[x]!]!]!;
}

function twoByTwo(
  light: Float64Array,
  data: Raster["data"],
  table: Float32Array,
  { columns, from: [a, b] }: { columns: Int32Array; from: readonly [number, number] },
): void {
  for (let x = 0, i = 0; x < light.length; x++, i += 2) {
    const p = columns[i]!;
    const q = columns[i + 1]!;
    light[x] = (table[data[a + p]!]! + table[data[a + q]!]! + table[data[b + p]!]! + table[data[b + q]!]!) / 4;
  }
}

function threeByThree(
  light: Float64Array,
  data: Raster["data"],
  table: Float32Array,
  { columns, from: [a, b, c] }: { columns: Int32Array; from: readonly [number, number, number] },
): void {
  for (let x = 0, i = 0; x < light.length; x++, i += 3) {
    const p = columns[i]!;
    const q = columns[i + 1]!;
    const r = columns[i + 2]!;
    light[x] =
      (table[data[a + p]!]! +
        table[data[a + q]!]! +
        table[data[a + r]!]! +
        table[data[b + p]!]! +
        table[data[b + q]!]! +
        table[data[b + r]!]! +
        table[data[c + p]!]! +
        table[data[c + q]!]! +
        table[data[c + r]!]!) /
      9;
  }
}

/** A row in linear sRGB. */
function intoSrgb([red, green, blue]: RowLight, [r0, r1, r2, g0, g1, g2, b0, b1, b2]: Matrix3): void {
  for (let x = 0; x < red.length; x++) {
    const r = red[x]!;
    const g = green[x]!;
    const b = blue[x]!;
    red[x] = r0 * r + r1 * g + r2 * b;
    green[x] = g0 * r + g1 * g + g2 * b;
    blue[x] = b0 * r + b1 * g + b2 * b;
  }
}

function darknessOfRow(values: Float32Array, light: Float64Array): void {
  for (let x = 0; x < values.length; x++) values[x] = -Math.LOG10E * Math.log(Math.max(light[x]!, darkFloor));
}

/** Both get the floor added, so that black is not blue. */
function bluenessOfRow(values: Float32Array, [red, , blue]: RowLight): void {
  for (let x = 0; x < values.length; x++)
    values[x] = Math.LOG10E * Math.log((Math.max(blue[x]!, 0) + darkFloor) / (Math.max(red[x]!, 0) + darkFloor));
}

/** Blueness where one pixel stands for each small one: the logarithm of each code is worked out once. */
function bluenessOfCodes({ data, linear, matrix }: Raster, { columns, rows, width, height }: ReadPlaces): Field {
  const logOfCode = (table: Float32Array) => table.map((light) => Math.log10(Math.max(light, 0) + darkFloor));
  const [red, blue] = [logOfCode(linear[0]!), logOfCode(linear[2]!)];
  const values = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = values.subarray(y * width, (y + 1) * width);
    if (matrix === null) bluenessOfCodeRow(row, data, rows[y]!, { columns, red, blue });
    else bluenessOfMixedRow(row, data, rows[y]!, { columns, linear, matrix });
  }
  return { width, height, values };
}

/** ... and where the picture's colours are not those of sRGB, each pixel's own light is mixed. */
function bluenessOfMixedRow(
  values: Float32Array,
  data: Raster["data"],
  row: number,
  { columns, linear, matrix }: { columns: Int32Array; linear: readonly Float32Array[]; matrix: Matrix3 },
): void {
  const [tableR, tableG, tableB] = linear as [Float32Array, Float32Array, Float32Array];
  const [r0, r1, r2, , , , b0, b1, b2] = matrix;
  for (let x = 0; x < values.length; x++) {
    const at = row + columns[x]!;
    const r = tableR[data[at]!]!;
    const g = tableG[data[at + 1]!]!;
    const b = tableB[data[at + 2]!]!;
    const red = r0 * r + r1 * g + r2 * b;
    const blue = b0 * r + b1 * g + b2 * b;
    values[x] = Math.LOG10E * Math.log((Math.max(blue, 0) + darkFloor) / (Math.max(red, 0) + darkFloor));
  }
}

function bluenessOfCodeRow(
  values: Float32Array,
  data: Raster["data"],
  row: number,
  { columns, red, blue }: { columns: Int32Array; red: Float32Array; blue: Float32Array },
): void {
  for (let x = 0; x < values.length; x++) {
    const at = row + columns[x]!;
    values[x] = blue[data[at + 2]!]! - red[data[at]!]!;
  }
}

function emptyBlocks(width: number, height: number): ColourBlocks {
  const [columns, rows] = [Math.ceil(width / blockPx), Math.ceil(height / blockPx)];
  const empty = () => new Float32Array(columns * rows);
  return { columns, rows, sidePx: blockPx, red: empty(), green: empty(), blue: empty() };
}

/** Every so many small pixels, along each side, one pixel of the picture is looked at for its colour. */
const colourEvery = 2;

/** Light of the blocks from a few pixels each. Sums do for means, as only ratios and ranks are asked for. */
function colourBlocks(raster: Raster, places: ReadPlaces): ColourBlocks {
  const blocks = emptyBlocks(places.width, places.height);
  for (let y = 0; y < places.height; y += colourEvery) addColours(blocks, raster, places, y);
  const share = (colourEvery / blockPx) ** 2;
  for (const channel of [blocks.red, blocks.green, blocks.blue])
    for (let i = 0; i < channel.length; i++) channel[i]! *= share;
  return blocks;
}

function addColours(
  blocks: ColourBlocks,
  { data, linear, matrix: m }: Raster,
  { columns, rows, reads, width }: ReadPlaces,
  y: number,
): void {
  const middle = reads >> 1;
  const row = rows[y * reads + middle]!;
  const from = Math.floor(y / blockPx) * blocks.columns;
  const [tableR, tableG, tableB] = [linear[0]!, linear[1]!, linear[2]!];
  for (let x = 0; x < width; x += colourEvery) {
    const at = row + columns[x * reads + middle]!;
    const r = tableR[data[at]!]!;
    const g = tableG[data[at + 1]!]!;
    const b = tableB[data[at + 2]!]!;
    const block = from + ((x / blockPx) | 0);
    blocks.red[block]! += m === null ? r : m[0] * r + m[1] * g + m[2] * b;
    blocks.green[block]! += m === null ? g : m[3] * r + m[4] * g + m[5] * b;
    blocks.blue[block]! += m === null ? b : m[6] * r + m[7] * g + m[8] * b;
  }
}

/** Where the picture is read for the small one. */
interface ReadPlaces {
  readonly columns: Int32Array;
  readonly rows: Int32Array;
  readonly reads: number;
  readonly width: number;
  readonly height: number;
}

/** Blueness above the paper's, and none where the colour is that of something else. */
function onPrintOnly(field: Field, blocks: ColourBlocks): Field {
  const { paperBlueness, share } = printColour(blocks);
  const { width, height, values } = field;
  for (let y = 0; y < height; y++) {
    const from = Math.floor(y / blockPx) * blocks.columns;
    gateRow(values.subarray(y * width, (y + 1) * width), share.subarray(from, from + blocks.columns), paperBlueness);
  }
  return field;
}

function gateRow(values: Float32Array, share: Float32Array, paperBlueness: number): void {
  for (let x = 0; x < values.length; x++)
    values[x] = Math.max(values[x]! - paperBlueness, leastBlueness) * share[(x / blockPx) | 0]!;
}
