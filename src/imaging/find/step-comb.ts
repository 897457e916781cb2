// Where the step boundaries lie along a strip: an even comb laid over the falls of the field, then followed tooth by
// tooth. Numbers: common practice, no source (tuned on rendered scenes).
import { boundaryAt, fallAt, lineAt, type StripBand } from "./strip-band.ts";

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
const halfShare = 0.36;
/**
 * How far round the pitch it is looked for, on either side; in steps (shares of it) fine enough for thirty boundaries.
 */
const pitchSteps = { sure: 2, unsure: 6 } as const;
const pitchStepShare = 0.015;
const phases = 16;
/** A tooth has to earn this share of a typical fall, or it counts against the comb. */
const toothCost = 0.22;
/** A tooth counts for at most this many typical falls, and costs at most this many when the field rises there. */
const mostGain = 1.4;
const mostLoss = 2;
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
const settleHalfShare = 0.3;
/** What a fall midway between two teeth costs, share of what it would earn on one. */
const betweenCost = 0.7;
/** A comb has at most this many teeth on either side of where it starts. */
const mostTeeth = 120;
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
 * The comb that catches most falls.
 * @param supposed places of boundaries, their pitch [small px], and the perspective for boundary 0 at `origin` with its
 *   spread
 * @param isPitchSure false looks at half and at twice the pitch as well
 * @returns null when nothing like a row of steps is there
 */
export function stepComb(
  band: StripBand,
  supposed: {
    readonly places: readonly number[];
    readonly pitch: number;
    readonly shrink: number;
    readonly shrinkSpread: number;
    readonly origin: number;
  },
  isPitchSure: boolean,
): StepComb | null {
  const falls = supposed.places
    .map((s) => boundaryAt(band, s, halfShare * supposed.pitch, supposed.pitch))
    .filter((fall) => fall > 0)
    .sort((a, b) => a - b);
  const typical = falls[falls.length >> 1];
  if (typical === undefined) return null;
  let best = null as { score: number; grid: StepGrid; first: number; last: number } | null;
  const most = isPitchSure ? pitchSteps.sure : pitchSteps.unsure;
  const search = (multiple: number, shrinks: readonly number[]) => {
    const gains = toothGains(band, supposed.pitch * multiple, typical);
    for (let i = -most; i <= most; i++) {
      const pitch = supposed.pitch * multiple * (1 + pitchStepShare * i);
      if (pitch < 3) continue;
      for (const z of shrinks) {
        const shrink = supposed.shrink + z * supposed.shrinkSpread;
        for (let phase = 0; phase < phases; phase++) {
          const grid = { start: supposed.origin + (pitch * phase) / phases, pitch, shrink };
          const run = bestRun(band, grid, gains);
          if (best === null || run.score > best.score) best = { ...run, grid };
        }
      }
    }
  };
  search(1, [-1.5, -0.75, 0, 0.75, 1.5]);
  if (!isPitchSure) for (const multiple of [0.5, 2]) search(multiple, [0]);
  if (best === null || best.last - best.first < 1) return null;
  return follow(band, best.grid, best.first, best.last);
}

/** So many places along one small pixel are tried for a tooth. */
const gainsPerPx = 2;

/** What a tooth earns at every place along the band, where the teeth are about one pitch apart. */
function toothGains(band: StripBand, pitch: number, typical: number): Float32Array {
  const gains = new Float32Array(gainsPerPx * band.count + 1);
  const half = halfShare * pitch;
  for (let i = 0; i < gains.length; i++) {
    const s = band.from + i / gainsPerPx;
    const on = boundaryAt(band, s, half, pitch);
    const between = s + 0.5 * pitch;
    const off = Math.abs(fallAt(band, between, half)) + lineAt(band, between, pitch);
    gains[i] =
      Math.min(Math.max(on / typical, -mostLoss), mostGain) -
      betweenCost * Math.min(off / typical, mostGain) -
      toothCost;
  }
  return gains;
}

/** The run of teeth that earns most. */
function bestRun(
  band: StripBand,
  { start, pitch, shrink }: StepGrid,
  gains: Float32Array,
): { score: number; first: number; last: number } {
  let [score, first, last] = [0, 0, -1];
  let sum = 0;
  let runFrom = 0;
  const to = band.from + band.count;
  // Perspective may bring a few more teeth into the picture than an even comb has.
  const k0 = Math.max(-mostTeeth, Math.ceil((band.from - start) / pitch) - 12);
  const k1 = Math.min(mostTeeth, Math.floor((to - start) / pitch) + 12);
  for (let k = k0; k <= k1; k++) {
    const scale = 1 + shrink * k;
    if (scale < 0.3) continue;
    const s = start + (pitch * k) / scale;
    if (s < band.from || s > to) continue;
    if (sum <= 0) {
      sum = 0;
      runFrom = k;
    }
    sum += gains[Math.round((s - band.from) * gainsPerPx)]!;
    if (sum > score) {
      score = sum;
      first = runFrom;
      last = k;
    }
  }
  return { score, first, last };
}

/**
 * Settles every tooth at the steepest place near it, then follows the boundaries outwards as neighbours foretell them.
 */
function follow(band: StripBand, grid: StepGrid, first: number, last: number): StepComb {
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
function steepestPlace(
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
