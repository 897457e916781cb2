// Settles the four corners by every edge that can be seen: step boundaries, long edges and ends, all under one homography.
import { homographyFromCorners, mapPoint } from "#shared/reading/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { valueAt, type Field } from "./small-picture.ts";

export interface RefinedCorners {
  readonly corners: Corners;
  /** Standard uncertainty of the first and the last end along the strip, in steps. */
  readonly endSigmaSteps: readonly [number, number];
  /** How far boundaries lie from an even grid, root mean square in steps: cloth stretches, film curls. */
  readonly stretchSteps: number;
}

/** What kind of change is looked for along a line: a fall, a rise, or either. */
type Sought = "fall" | "rise" | "either";

interface Sighting {
  /** Place in strip coordinates that was expected there. */
  readonly u: number;
  readonly v: number;
  /** Unit vector along which the edge was measured, and how far it lies from the expected place [small px]. */
  readonly dx: number;
  readonly dy: number;
  readonly offset: number;
  readonly weight: number;
}

/** An edge with less change than this (log10) is noise. */
const leastChange = 0.02;
/** A sharp edge is placed to about this many small pixels. */
const edgeSigmaPx = 0.35;
/** Corners are first known to about this many small pixels. */
const firstSigmaPx = 4;
const rounds = 4;

/** Where along a line the field changes most, and by how much. */
function strongestChange(field: Field, x: number, y: number, dx: number, dy: number, reach: number, half: number, sought: Sought): { offset: number; change: number } | null {
  const stepPx = 0.5;
  const side = Math.max(1, Math.round(half / stepPx));
  const count = 2 * Math.ceil(reach / stepPx) + 1;
  const total = count + 2 * side;
  const sums = new Float64Array(total + 1);
  const first = -((total - 1) / 2) * stepPx;
  for (let i = 0; i < total; i++) {
    const at = first + i * stepPx;
    sums[i + 1] = sums[i]! + valueAt(field, x + at * dx, y + at * dy);
  }
  const change = (i: number) => (sums[i + side]! - sums[i]! - (sums[i]! - sums[i - side]!)) / side;
  const size = (i: number) => (sought === "fall" ? -change(i) : sought === "rise" ? change(i) : Math.abs(change(i)));
  let best = -1;
  for (let i = side + 1; i + side + 1 <= total; i++) if (best < 0 || size(i) > size(best)) best = i;
  if (best < side + 2 || best + side + 2 > total || size(best) < leastChange) return null;
  const [l, c, r] = [size(best - 1), size(best), size(best + 1)];
  const curve = l - 2 * c + r;
  const shift = curve < 0 ? Math.min(Math.max((0.5 * (l - r)) / curve, -0.5), 0.5) : 0;
  return { offset: first + (best - 0.5 + shift) * stepPx, change: c };
}

/**
 * Corners that suit all edges near where they are expected.
 * @param field blueness, or darkness for grey pictures
 * @param first corners that are right to a fraction of a step [small px]
 * @param seen boundary numbers (1 to steps - 1) that were seen, and whether each end was
 */
export function refineCorners(field: Field, first: Corners, steps: number, seen: { readonly boundaries: readonly number[]; readonly darkEnd: boolean; readonly paleEnd: boolean }): RefinedCorners {
  let corners = first;
  let covariance: number[][] = [];
  let stretchSteps = 0;
  for (let round = 0; round < rounds; round++) {
    const sightings = lookAround(field, corners, steps, seen, round === 0 ? 0.35 : 0.22);
    const result = adjust(corners, sightings);
    if (result === null) return { corners: first, endSigmaSteps: [1, 1], stretchSteps: 1 };
    stretchSteps = stretchOf(sightings, corners, steps, seen.boundaries);
    corners = result.corners;
    covariance = result.covariance;
  }
  return { corners, endSigmaSteps: [endSigma(corners, covariance, 0, steps), endSigma(corners, covariance, 1, steps)], stretchSteps };
}

function lookAround(field: Field, corners: Corners, steps: number, seen: { readonly boundaries: readonly number[]; readonly darkEnd: boolean; readonly paleEnd: boolean }, slack: number): Sighting[] {
  const map = homographyFromCorners(corners);
  const sightings: Sighting[] = [];
  const look = (u: number, v: number, toU: number, toV: number, reach: number, half: number, sought: Sought) => {
    const [x, y] = mapPoint(map, u, v);
    const [tx, ty] = mapPoint(map, toU, toV);
    const length = Math.hypot(tx - x, ty - y);
    if (!(length > 0)) return;
    const [dx, dy] = [(tx - x) / length, (ty - y) / length];
    const found = strongestChange(field, x, y, dx, dy, reach * length, half * length, sought);
    if (found !== null) sightings.push({ u, v, dx, dy, offset: found.offset, weight: Math.min(found.change / 0.1, 1) ** 2 });
  };
  const lines = [...seen.boundaries.map((k) => ({ k, sought: "fall" as const })), ...(seen.darkEnd ? [{ k: 0, sought: "rise" as const }] : []), ...(seen.paleEnd ? [{ k: steps, sought: "rise" as const }] : [])];
  for (const { k, sought } of lines) {
    for (const v of [0.14, 0.32, 0.5, 0.68, 0.86]) look(k / steps, v, (k + 1) / steps, v, slack, 0.3, sought);
  }
  const columns = 36;
  for (let i = 0; i < columns; i++) {
    const u = (i + 0.5) / columns;
    look(u, 0, u, 1, 0.14, 0.07, "either");
    look(u, 1, u, 2, 0.14, 0.07, "either");
  }
  return sightings;
}

/** Root mean square, over boundaries, of their middle offset from the grid in steps. */
function stretchOf(sightings: readonly Sighting[], corners: Corners, steps: number, boundaries: readonly number[]): number {
  const map = homographyFromCorners(corners);
  const squares = boundaries.flatMap((k) => {
    const offsets = sightings.filter((sighting) => Math.abs(sighting.u * steps - k) < 1e-6 && sighting.v > 0 && sighting.v < 1 && sighting.weight > 0.2).map((sighting) => sighting.offset).sort((a, b) => a - b);
    if (offsets.length < 3) return [];
    const [x, y] = mapPoint(map, k / steps, 0.5);
    const [nx, ny] = mapPoint(map, (k + 1) / steps, 0.5);
    return [(offsets[offsets.length >> 1]! / Math.hypot(nx - x, ny - y)) ** 2];
  });
  return squares.length === 0 ? 0 : Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** One Gauss-Newton step with Cauchy weights. */
function adjust(corners: Corners, sightings: readonly Sighting[]): { corners: Corners; covariance: number[][] } | null {
  const flat = corners.flat();
  const a = Array.from({ length: 8 }, (_, i) => Array.from({ length: 8 }, (_, j) => (i === j ? firstSigmaPx ** -2 : 0)));
  const b = new Array<number>(8).fill(0);
  const moved = flat.map((_, i) => homographyFromCorners(unflat(flat.map((value, j) => (i === j ? value + 0.01 : value)))));
  const base = homographyFromCorners(corners);
  for (const sighting of sightings) {
    const [x, y] = mapPoint(base, sighting.u, sighting.v);
    const slope = moved.map((map) => {
      const [mx, my] = mapPoint(map, sighting.u, sighting.v);
      return ((mx - x) * sighting.dx + (my - y) * sighting.dy) / 0.01;
    });
    const w = sighting.weight / edgeSigmaPx ** 2 / (1 + (sighting.offset / (4 * edgeSigmaPx)) ** 2);
    for (let i = 0; i < 8; i++) {
      for (let j = 0; j < 8; j++) a[i]![j]! += w * slope[i]! * slope[j]!;
      b[i]! += w * slope[i]! * sighting.offset;
    }
  }
  const inverse = inverseOf(a);
  if (inverse === null) return null;
  const step = inverse.map((row) => row.reduce((sum, value, j) => sum + value * b[j]!, 0));
  if (step.some((value) => !Number.isFinite(value))) return null;
  const next = unflat(flat.map((value, i) => value + step[i]!));
  return { corners: next, covariance: inverse };
}

const unflat = (values: readonly number[]): Corners => [[values[0]!, values[1]!], [values[2]!, values[3]!], [values[4]!, values[5]!], [values[6]!, values[7]!]];

/** Gauss-Jordan inverse of a small matrix; null when it has none. */
function inverseOf(matrix: readonly (readonly number[])[]): number[][] | null {
  const n = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...Array.from({ length: n }, (_, j) => (i === j ? 1 : 0))]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column + 1; i < n; i++) if (Math.abs(rows[i]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = i;
    if (!(Math.abs(rows[pivot]![column]!) > 1e-14)) return null;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const scale = rows[column]![column]!;
    rows[column] = rows[column]!.map((value) => value / scale);
    for (let i = 0; i < n; i++) {
      if (i === column) continue;
      const factor = rows[i]![column]!;
      rows[i] = rows[i]!.map((value, j) => value - factor * rows[column]![j]!);
    }
  }
  return rows.map((row) => row.slice(n));
}

/** Standard uncertainty, in steps, of the middle of one end along the strip. */
function endSigma(corners: Corners, covariance: readonly (readonly number[])[], u: 0 | 1, steps: number): number {
  const flat = corners.flat();
  const base = homographyFromCorners(corners);
  const [x, y] = mapPoint(base, u, 0.5);
  const [nx, ny] = mapPoint(base, u + 1 / steps, 0.5);
  const length = Math.hypot(nx - x, ny - y);
  const slope = flat.map((_, i) => {
    const [mx, my] = mapPoint(homographyFromCorners(unflat(flat.map((value, j) => (i === j ? value + 0.01 : value)))), u, 0.5);
    return ((mx - x) * (nx - x) + (my - y) * (ny - y)) / length / 0.01;
  });
  const variance = slope.reduce((sum, si, i) => sum + si * slope.reduce((inner, sj, j) => inner + covariance[i]![j]! * sj, 0), 0);
  return Math.sqrt(Math.max(0, variance)) / length;
}
