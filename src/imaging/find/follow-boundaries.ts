// The boundaries between the steps of a strip, followed outwards from an even comb as neighbours foretell them.
// Numbers: common practice, no source (tuned on rendered scenes).
import { boundaryAt, fallAt, type StripBand } from "./strip-band.ts";

/** The even grid of step boundaries, as perspective shows it: s(k) = start + pitch k / (1 + shrink k). */
export interface StepGrid {
  /** Place of boundary 0 along the strip [small px]. */
  readonly start: number;
  /** Spacing at boundary 0 [small px]. */
  readonly pitch: number;
  /** Perspective: how the spacing shrinks with k. */
  readonly shrink: number;
}

/** A boundary seen along the strip. */
export interface Boundary {
  readonly k: number;
  readonly s: number;
  /** Fall of the field across it. */
  readonly fall: number;
  /** Standard uncertainty of its place [small px]. */
  readonly sigma: number;
}

export interface StepComb {
  readonly grid: StepGrid;
  readonly boundaries: readonly Boundary[];
  /** Standard deviation of the fall where there is no boundary. */
  readonly noise: number;
}

/** Place of boundary k (any number, also between boundaries). */
const gridAt = ({ start, pitch, shrink }: StepGrid, k: number): number => start + (pitch * k) / (1 + shrink * k);

/** Spacing at boundary k [small px]. */
export const pitchAt = ({ pitch, shrink }: StepGrid, k: number): number => pitch / (1 + shrink * k) ** 2;

/**
 * Falls are taken over this share of the pitch on either side: wide enough for weave, too narrow for the next boundary.
 */
export const halfShare = 0.36;
/** A comb has at most this many teeth on either side of where it starts. */
export const mostTeeth = 120;
/** Furthest a boundary may lie from where its neighbours say, share of the pitch. */
const followSlack = 0.27;
/** A boundary is seen when the fall exceeds the noise this many times. */
const seenOverNoise = 3;
const leastFall = 0.004;
const leastNoise = 0.0012;
const mostMissed = 2;
/** Furthest a tooth of the comb may lie from the boundary it stands for, share of the pitch. */
const settleSlack = 0.34;
/** Falls are settled over a narrower stretch than they are caught, share of the pitch. */
export const settleHalfShare = 0.3;
/** A boundary is placed at best to this many small pixels, and this share of the pitch. */
const placeSigmaPx = 0.25;
const placeSigmaShare = 0.02;
/** An end of the strip rises by at least this much (log10), and by this share of the fall over the boundaries. */
const leastEndRise = 0.05;
const endShareOfFall = 0.3;
/** A fall this many times that of its neighbours, and at least this large, is the edge of a thing lying there. */
const likeNeighbours = 3.5;
const leastEdgeOfThing = 0.06;

/**
 * Settles every tooth at the steepest place near it, then follows the boundaries outwards as neighbours foretell them.
 */
export function followBoundaries(band: StripBand, grid: StepGrid, first: number, last: number): StepComb {
  const off: number[] = [];
  for (let k = first; k <= last; k++)
    off.push(Math.abs(fallAt(band, gridAt(grid, k + 0.5), halfShare * pitchAt(grid, k))));
  off.sort((a, b) => a - b);
  // The 30 % quantile of a half-normal distribution is 0.385 sigma; the quieter places are free of stickers and hairs.
  const noise = Math.max(leastNoise, off[Math.floor(off.length * 0.3)]! / 0.385);
  const seen = new Map<number, Boundary>();
  const look = (k: number, expected: number, slack: number) => {
    const boundary = steepest(band, { k, expected, pitch: pitchAt(grid, k), slack, noise });
    if (boundary !== null) seen.set(k, boundary);
    return boundary !== null;
  };
  for (let k = first; k <= last; k++) look(k, gridAt(grid, k), settleSlack);
  if (seen.size === 0) return { grid, boundaries: [], noise };
  for (const direction of [-1, 1] as const) {
    let missed = 0;
    for (let k = direction < 0 ? first - 1 : last + 1; missed < mostMissed && Math.abs(k) < mostTeeth; k += direction) {
      const expected = foretold(seen, grid, k);
      const pitch = pitchAt(grid, k);
      if (!Number.isFinite(expected) || expected < band.from || expected > band.from + band.count) break;
      if (risesTowards(band, { s: expected, pitch, direction, leastRise: leastRiseOfEnd([...seen.values()]) })) break;
      missed = look(k, expected, followSlack) ? 0 : missed + 1;
    }
  }
  const inOrder = [...seen.values()].sort((a, b) => a.k - b.k);
  return {
    grid,
    boundaries: inOrder.filter(
      (b, i) =>
        b.fall <=
        likeNeighbours * Math.max(...[-2, -1, 1, 2].map((off) => inOrder[i + off]?.fall ?? 0), leastEdgeOfThing),
    ),
    noise,
  };
}

/** Fall over all boundaries; one that falls far more than its like (the edge of a sticker) counts no more than they. */
function totalFall(boundaries: readonly Boundary[]): number {
  const falls = boundaries.map((b) => b.fall).sort((a, b) => a - b);
  const most = 3 * (falls[falls.length >> 1] ?? 0);
  return falls.reduce((sum, fall) => sum + Math.min(fall, most), 0);
}

/** The least rise of the field that can be an end of the strip. */
function leastRiseOfEnd(boundaries: readonly Boundary[]): number {
  return Math.max(leastEndRise, endShareOfFall * totalFall(boundaries));
}

/** Where the nearest seen boundaries say that boundary k lies: their mean departure from the grid, and its trend. */
function foretold(seen: ReadonlyMap<number, Boundary>, grid: StepGrid, k: number): number {
  const near = [...seen.values()].sort((a, b) => Math.abs(a.k - k) - Math.abs(b.k - k)).slice(0, 6);
  const departures = near.map((b) => b.s - gridAt(grid, b.k));
  const meanK = near.reduce((sum, b) => sum + b.k, 0) / near.length;
  const meanD = departures.reduce((sum, d) => sum + d, 0) / near.length;
  let [xy, xx] = [0, 6];
  near.forEach((b, i) => {
    xy += (b.k - meanK) * (departures[i]! - meanD);
    xx += (b.k - meanK) ** 2;
  });
  return gridAt(grid, k) + meanD + (xy / xx) * (k - meanK);
}

/** Whether the field rises, as at an end of the strip, within the step before a boundary as seen from the run. */
function risesTowards(
  band: StripBand,
  {
    s,
    pitch,
    direction,
    leastRise,
  }: { readonly s: number; readonly pitch: number; readonly direction: -1 | 1; readonly leastRise: number },
): boolean {
  for (let share = 0; share < 1.05; share += 0.15)
    if (-fallAt(band, s - direction * share * pitch, settleHalfShare * pitch) > leastRise) return true;
  return false;
}

/** Boundary k where the strip falls most near an expected place; null when nothing stands out of the noise. */
function steepest(
  band: StripBand,
  {
    k,
    expected,
    pitch,
    slack,
    noise,
  }: {
    readonly k: number;
    readonly expected: number;
    readonly pitch: number;
    readonly slack: number;
    readonly noise: number;
  },
): Boundary | null {
  const half = settleHalfShare * pitch;
  const found = steepestPlace((s) => boundaryAt(band, s, half, pitch), expected, half, slack * pitch);
  if (found === null || found.fall < Math.max(leastFall, seenOverNoise * noise)) return null;
  return { k, ...found, sigma: Math.hypot(placeSigmaPx, placeSigmaShare * pitch, (0.6 * half * noise) / found.fall) };
}

/** Where a part of the strip falls most near a boundary [small px along]; null when nothing stands out. */
export function steepestNear(
  band: StripBand,
  {
    s,
    pitch,
    noise,
    sums,
  }: { readonly s: number; readonly pitch: number; readonly noise: number; readonly sums: Float64Array },
): number | null {
  const half = settleHalfShare * pitch;
  const found = steepestPlace((at) => fallAt(band, at, half, sums), s, half, half);
  return found === null || found.fall < Math.max(leastFall, 2 * noise) ? null : found.s;
}

/** The greatest fall within a reach of an expected place; null when it lies at the end of the reach. */
export function steepestPlace(
  fallNear: (s: number) => number,
  expected: number,
  half: number,
  reach: number,
): { s: number; fall: number } | null {
  const stepPx = Math.max(0.25, half / 18);
  const count = Math.ceil(reach / stepPx);
  let best = { i: 0, fall: -Infinity };
  for (let i = -count; i <= count; i++) {
    const fall = fallNear(expected + i * stepPx);
    if (fall > best.fall) best = { i, fall };
  }
  if (!(best.fall > 0) || Math.abs(best.i) === count) return null;
  const s = expected + best.i * stepPx;
  // The response to a step is a triangle: the balance of its flanks says where its tip is.
  const balance = fallNear(s + half / 2) - fallNear(s - half / 2);
  return { s: s + Math.min(Math.max((half * balance) / (2 * best.fall), -half / 4), half / 4), fall: best.fall };
}
