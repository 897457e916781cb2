// ICC profiles made of tables (AToB): device red, green, blue through curves and a lattice of colours to the connection
// space.
import { shareFromCubeRoot } from "#shared/density/lab.ts";
import { d50 } from "#shared/density/rgb-spaces.ts";
import { ascii, fixed16, readToneCurve, toneCurveBytes, type ToneCurve } from "./icc-curves.ts";

/** Turns device red, green and blue (0-1) into CIE XYZ under D50, media white at Y = 1, in place. */
export type TableColour = (colour: Float64Array) => void;

/** A lattice of colours over the device cube: three outputs, each 0-1. */
interface Lattice {
  readonly sides: readonly [number, number, number];
  readonly values: Float64Array;
}

interface Stages {
  readonly before: readonly ToneCurve[];
  readonly lattice: Lattice | null;
  /** Between lattice and last curves (lutAToBType only): curves and a matrix of three rows with an offset. */
  readonly middle: readonly ToneCurve[] | null;
  readonly matrix: readonly number[] | null;
  readonly after: readonly ToneCurve[];
}

/** Most points of a lattice that are read: 65 to the third; larger ones are a broken file. */
const mostLatticePoints = 300_000;

/** Values of a table as a curve between 0 and 1, straight between its entries. */
function sampledCurve(values: Float64Array): ToneCurve {
  const last = values.length - 1;
  return (x) => {
    const at = Math.min(Math.max(x, 0), 1) * last;
    const below = Math.min(Math.floor(at), last - 1);
    return values[below]! + (values[below + 1]! - values[below]!) * (at - below);
  };
}

/**
 * The colour at a place of the lattice, straight inside each of the six tetrahedra of a cell, so that greys stay grey.
 * Source: kasson-1995
 */
function latticeAt({ sides, values }: Lattice, p: Float64Array): void {
  const strideR = 3 * sides[1] * sides[2];
  const strideG = 3 * sides[2];
  const strideB = 3;
  const [pr, pg, pb] = [p[0]! * (sides[0] - 1), p[1]! * (sides[1] - 1), p[2]! * (sides[2] - 1)];
  const ir = Math.min(Math.floor(pr), sides[0] - 2);
  const ig = Math.min(Math.floor(pg), sides[1] - 2);
  const ib = Math.min(Math.floor(pb), sides[2] - 2);
  const [r, g, b] = [pr - ir, pg - ig, pb - ib];
  const low = ir * strideR + ig * strideG + ib * strideB;
  const high = low + strideR + strideG + strideB;
  // From the low corner to the high one along the cell's edges: first the channel that lies furthest in, last the
  // least.
  const most = Math.max(r, g, b);
  const least = Math.min(r, g, b);
  const mid = r + g + b - most - least;
  const strideOfMost = strideOfFirst(most === r, strideR, most === g, strideG, strideB);
  const strideOfLeast = strideOfFirst(least === b, strideB, least === g, strideG, strideR);
  const first = low + strideOfMost;
  const second = high - strideOfLeast;
  for (let c = 0; c < 3; c++) {
    p[c] =
      values[low + c]! * (1 - most) +
      values[first + c]! * (most - mid) +
      values[second + c]! * (mid - least) +
      values[high + c]! * least;
  }
}

/** lut8Type and lut16Type: tables before and after the lattice, whose matrix acts only on XYZ at the device's side. */
function lutStages(view: DataView, at: number, wide: boolean): Stages | null {
  const [inputs, outputs, side] = [view.getUint8(at + 8), view.getUint8(at + 9), view.getUint8(at + 10)];
  if (inputs !== 3 || outputs !== 3 || side < 2 || side ** 3 > mostLatticePoints) return null;
  const entriesIn = wide ? view.getUint16(at + 48) : 256;
  const entriesOut = wide ? view.getUint16(at + 50) : 256;
  if (entriesIn < 2 || entriesOut < 2 || entriesIn > 4096 || entriesOut > 4096) return null;
  let next = at + (wide ? 52 : 48);
  const values = (count: number) => {
    const read = Float64Array.from({ length: count }, (_, i) =>
      wide ? view.getUint16(next + 2 * i) / 65_535 : view.getUint8(next + i) / 255,
    );
    next += count * (wide ? 2 : 1);
    return read;
  };
  const before = [0, 1, 2].map(() => sampledCurve(values(entriesIn)));
  const lattice: Lattice = { sides: [side, side, side], values: values(3 * side ** 3) };
  const after = [0, 1, 2].map(() => sampledCurve(values(entriesOut)));
  return { before, lattice, middle: null, matrix: null, after };
}

/** Three curves one after the other, each padded to four bytes. */
function threeCurves(view: DataView, at: number): ToneCurve[] | null {
  const curves: ToneCurve[] = [];
  let next = at;
  for (let c = 0; c < 3; c++) {
    const curve = readToneCurve(view, next);
    if (curve === null) return null;
    curves.push(curve);
    next += Math.ceil(toneCurveBytes(view, next) / 4) * 4;
  }
  return curves;
}

/** lutAToBType: A curves, lattice, M curves, matrix, B curves; any but the last may be absent. */
function aToBStages(view: DataView, at: number): Stages | null {
  if (view.getUint8(at + 8) !== 3 || view.getUint8(at + 9) !== 3) return null;
  const [b, matrix, m, lattice, a] = [12, 16, 20, 24, 28].map((offset) => view.getUint32(at + offset));
  const curvesAt = (offset: number) => (offset === 0 ? null : threeCurves(view, at + offset));
  const after = curvesAt(b!);
  if (after === null) return null;
  const straight: ToneCurve[] = [0, 1, 2].map(() => (x: number) => x);
  const readLattice = (offset: number): Lattice | null => {
    const start = at + offset;
    const sides = [0, 1, 2].map((i) => view.getUint8(start + i));
    const [nr = 0, ng = 0, nb = 0] = sides;
    if (Math.min(nr, ng, nb) < 2 || nr * ng * nb > mostLatticePoints) throw new RangeError("lattice");
    const bytes = view.getUint8(start + 16);
    const values = Float64Array.from({ length: 3 * nr * ng * nb }, (_, i) =>
      bytes === 1 ? view.getUint8(start + 20 + i) / 255 : view.getUint16(start + 20 + 2 * i) / 65_535,
    );
    return { sides: [nr, ng, nb], values };
  };
  return {
    before: curvesAt(a!) ?? straight,
    lattice: lattice === 0 ? null : readLattice(lattice!),
    middle: curvesAt(m!),
    matrix: matrix === 0 ? null : Array.from({ length: 12 }, (_, i) => fixed16(view, at + matrix! + 4 * i)),
    after,
  };
}

/**
 * Encoded connection space (0-1) to XYZ, in place.
 * Source: icc-profile-format, clauses 6.3.4 and 10.10 (lut16Type keeps the older Lab code).
 */
function fromConnection(space: "XYZ" | "Lab", olderLab: boolean): TableColour {
  const whole = 1 + 32_767 / 32_768;
  if (space === "XYZ") {
    return (p) => {
      for (let c = 0; c < 3; c++) p[c]! *= whole;
    };
  }
  const lab = olderLab ? 65_535 / 65_280 : 1;
  return (p) => {
    const f = (100 * p[0]! * lab + 16) / 116;
    const a = 255 * p[1]! * lab - 128;
    const b = 255 * p[2]! * lab - 128;
    p[0] = d50[0] * shareFromCubeRoot(f + a / 500);
    p[1] = d50[1] * shareFromCubeRoot(f);
    p[2] = d50[2] * shareFromCubeRoot(f - b / 200);
  };
}

/**
 * The colours of a profile that is made of tables, relative to the medium's white; null when they are of another form.
 * @param offset where its AToB tag begins
 * @param space the connection space as the profile's header names it, "XYZ" or "Lab"
 * Source: icc-profile-format, clauses 10.10 (lut16Type), 10.11 (lut8Type), 10.12 (lutAToBType)
 */
export function readTableColour(view: DataView, offset: number, space: string): TableColour | null {
  if (space !== "XYZ" && space !== "Lab") return null;
  const type = ascii(view, offset, 4);
  const isLut = type === "mft1" || type === "mft2";
  if (!isLut && type !== "mAB ") return null;
  const stages = isLut ? lutStages(view, offset, type === "mft2") : aToBStages(view, offset);
  if (stages === null) return null;
  const toXyz = fromConnection(space, type === "mft2");
  const { before, lattice, middle, matrix, after } = stages;
  return (p) => {
    for (let c = 0; c < 3; c++) p[c] = Math.min(Math.max(before[c]!(p[c]!), 0), 1);
    if (lattice !== null) latticeAt(lattice, p);
    if (middle !== null) for (let c = 0; c < 3; c++) p[c] = middle[c]!(p[c]!);
    if (matrix !== null) throughMatrix(matrix, p);
    for (let c = 0; c < 3; c++) p[c] = after[c]!(p[c]!);
    toXyz(p);
  };
}

/** Three rows of a matrix, then an offset for each; held between 0 and 1. */
function throughMatrix(m: readonly number[], p: Float64Array): void {
  const [x, y, z] = [p[0]!, p[1]!, p[2]!];
  for (let c = 0; c < 3; c++)
    p[c] = Math.min(Math.max(m[3 * c]! * x + m[3 * c + 1]! * y + m[3 * c + 2]! * z + m[9 + c]!, 0), 1);
}

/**
 * The stride of the first channel of which something is so, else the third's. Plain numbers: this runs for every pixel.
 */
function strideOfFirst(
  isFirst: boolean,
  firstStride: number,
  isSecond: boolean,
  secondStride: number,
  thirdStride: number,
): number {
  if (isFirst) return firstStride;
  return isSecond ? secondStride : thirdStride;
}
