// Strips seen by three of their sides: an end that stands out straight, and both long edges as they set out from it.
// Where few boundaries between steps are seen, these say where the strip lies and how high it is; the spacing is the
// one that catches most boundaries when counted from that end. Numbers: common practice, no source (rendered scenes).
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { Segment } from "./edge-segments.ts";
import { isWithin, valueAt, type Field } from "./smoothed-field.ts";
import { fallAt, type StripBand } from "./strip-band.ts";

/** Ends tried, strongest and longest first, and the shortest of them [small px]. */
const mostEnds = 400;
const shortestEnd = 10;
/** A long edge stands across the end: sine of the most that it may lean. */
const mostLean = Math.sin((28 * Math.PI) / 180);
/** It passes the end's corner within this share of the end's length, and sets out this near to it. */
const cornerShare = 0.2;
const setsOutShare = 0.8;
/** It is so long, runs so far past the end's corner, and the strip is so high at least: shares of the end's length. */
const leastEdgeShare = 0.4;
const leastHeightShare = 0.5;
/** Ends whose corners lie this near to each other, in heights, are one. */
const sameCornerShare = 0.2;
/** Both long edges together run on for so many heights at least. */
const leastRunHeights = 1.6;
/** Places handed on, and spacings tried on each. */
const mostPlaces = 4;
const spacingsOfPlace = 2;
/** ... where the second does as well as this share of the best. */
const likeBest = 0.7;
/** A step is at least this long [small px]. */
const leastPitchPx = 3.5;
/** The strip is so great a share of what its long edges show at least; its first step so many times its middle one. */
const leastRunShare = 0.6;
const mostTapered = 2;
/** Towards the camera steps grow without bound where a perspective is taken too strong: held above this scale. */
const leastScale = 0.3;
/** Spacings are tried so close that the last boundary moves by this share of a step. */
const finestShare = 0.15;
/** Spacings this near to each other are the same. */
const sameSpacing = 0.02;
/** A boundary counts for no more than this (log10), and what lies midway between two so much against it. */
const mostFall = 0.1;
const betweenCost = 0.7;
/** Tones are compared over this share of a step. */
const halfShare = 0.35;
/** Places across the strip at which its tones are read. */
const across = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8];

/** An end and the two long edges from its corners on, all in small pixels. */
interface ThreeSides {
  /** Corners of the end, and unit vectors along the edges that set out from them. */
  readonly corners: readonly [PointPx, PointPx];
  readonly along: readonly [PointPx, PointPx];
  readonly heightPx: number;
  readonly runPx: number;
  /** True where the strip is paler than what surrounds it: then this is its pale end. */
  readonly isPaleEnd: boolean;
  readonly score: number;
}

/**
 * Places where a strip may lie by three of its sides, likeliest first.
 * @param segments straight edges of the field
 * @param steps declared number of steps
 * @returns corners in small pixels, the dark end first
 */
export function stripsByThreeSides(field: Field, segments: readonly Segment[], steps: number): Corners[] {
  return threeSides(segments)
    .slice(0, mostPlaces)
    .flatMap((sides) => spacingsOf(field, sides, steps).map((pitchPx) => cornersOf(sides, pitchPx, steps)));
}

/** Ends with both long edges, each place once, likeliest first. */
function threeSides(segments: readonly Segment[]): ThreeSides[] {
  const found: ThreeSides[] = [];
  const ends = segments.filter(({ length }) => length >= shortestEnd).slice(0, mostEnds);
  for (const end of ends)
    for (const isPaleEnd of [true, false]) {
      const sides = sidesOf(end, segments, isPaleEnd);
      if (sides !== null) found.push(sides);
    }
  found.sort((a, b) => b.score - a.score);
  const kept: ThreeSides[] = [];
  for (const sides of found) {
    const isKnown = kept.some(
      (other) =>
        Math.max(...sides.corners.map(([x, y], i) => Math.hypot(x - other.corners[i]![0], y - other.corners[i]![1]))) <
        sameCornerShare * sides.heightPx,
    );
    if (!isKnown) kept.push(sides);
  }
  return kept;
}

/** The long edges that set out from an end's corners; null where they do not. */
function sidesOf(end: Segment, segments: readonly Segment[], isPaleEnd: boolean): ThreeSides | null {
  const sign = isPaleEnd ? 1 : -1;
  // Into the strip from its end, and along the end.
  const [inX, inY] = [sign * end.acrossX, sign * end.acrossY];
  const [alongX, alongY] = [-inY, inX];
  const edgeAt = (way: -1 | 1) => {
    const [x, y] = [end.x + (way * end.length * alongX) / 2, end.y + (way * end.length * alongY) / 2];
    let best: { start: PointPx; along: PointPx; run: number; strength: number } | null = null;
    for (const edge of segments) {
      if (edge.length < leastEdgeShare * end.length) continue;
      // Its inner side lies towards the middle of the end.
      const inwards = -way * sign * (edge.acrossX * alongX + edge.acrossY * alongY);
      const lean = edge.acrossX * inX + edge.acrossY * inY;
      if (inwards < 0 || Math.abs(lean) > mostLean) continue;
      const aside = (x - edge.x) * edge.acrossX + (y - edge.y) * edge.acrossY;
      if (Math.abs(aside) > cornerShare * end.length) continue;
      let [ux, uy] = [-edge.acrossY, edge.acrossX];
      if (ux * inX + uy * inY < 0) [ux, uy] = [-ux, -uy];
      const middle = (edge.x - x) * ux + (edge.y - y) * uy;
      if (
        middle - edge.length / 2 > setsOutShare * end.length ||
        middle + edge.length / 2 < leastEdgeShare * end.length
      )
        continue;
      const run = middle + edge.length / 2;
      if (best === null || run > best.run)
        best = {
          start: [x - aside * edge.acrossX, y - aside * edge.acrossY],
          along: [ux, uy],
          run,
          strength: edge.strength,
        };
    }
    return best;
  };
  const [one, other] = [edgeAt(-1), edgeAt(1)];
  if (one === null || other === null) return null;
  const runPx = Math.max(one.run, other.run);
  const heightPx = Math.hypot(other.start[0] - one.start[0], other.start[1] - one.start[1]);
  if (one.run + other.run < leastRunHeights * heightPx || !(heightPx > leastHeightShare * end.length)) return null;
  return {
    corners: [one.start, other.start],
    along: [one.along, other.along],
    heightPx,
    runPx,
    isPaleEnd,
    score: Math.min(one.run, other.run) * Math.min(one.strength, other.strength, end.strength),
  };
}

/**
 * Where boundary k lies along the strip, counted from the end that is seen [small px]: even steps of a flat strip seen
 * in one perspective, which narrows the strip as it draws its steps together.
 * Source: common practice, no source (projection of a plane)
 */
function placeAlong({ corners, along, heightPx }: ThreeSides, pitchPx: number): (k: number) => number {
  const [dx, dy] = [corners[1][0] - corners[0][0], corners[1][1] - corners[0][1]];
  const widening = ((along[1][0] - along[0][0]) * dx + (along[1][1] - along[0][1]) * dy) / heightPx;
  const shrink = (-widening * pitchPx) / heightPx;
  return (k) => (pitchPx * k) / Math.max(leastScale, 1 + shrink * k);
}

/** Spacings of the first step [small px] that catch most boundaries, best first. */
function spacingsOf(field: Field, sides: ThreeSides, steps: number): number[] {
  const profile = profileAlong(field, sides);
  const sign = sides.isPaleEnd ? 1 : -1;
  const changeAt = (s: number, half: number): number =>
    Math.max(-mostFall, Math.min(mostFall, -sign * fallAt(profile, s, half)));
  const tried: { pitchPx: number; score: number }[] = [];
  const widest = (mostTapered * profile.count) / (steps - 1);
  for (
    let pitchPx = Math.max(leastPitchPx, (leastRunShare * sides.runPx) / steps);
    pitchPx < widest;
    pitchPx *= 1 + finestShare / steps
  ) {
    const placeOf = placeAlong(sides, pitchPx);
    // Of the last step at least the beginning lies in the picture.
    if (placeOf(steps - 1) > profile.count) break;
    let score = 0;
    for (let k = 1; k < steps; k++) {
      const half = halfShare * (placeOf(k + 0.5) - placeOf(k - 0.5));
      score += changeAt(placeOf(k), half) - betweenCost * Math.abs(changeAt(placeOf(k + 0.5), half));
    }
    tried.push({ pitchPx, score });
  }
  tried.sort((a, b) => b.score - a.score);
  const kept: number[] = [];
  for (const { pitchPx, score } of tried) {
    if (score <= likeBest * tried[0]!.score || kept.length >= spacingsOfPlace) break;
    if (kept.every((other) => Math.abs(Math.log(pitchPx / other)) > sameSpacing)) kept.push(pitchPx);
  }
  return kept;
}

type Profile = Pick<StripBand, "from" | "count" | "sums">;

/** The tones along the strip from the end that is seen, as far as it lies in the picture. */
function profileAlong(field: Field, { corners: [a, b], along: [u, v] }: ThreeSides): Profile {
  const sums = [0];
  const most = Math.hypot(field.width, field.height);
  for (let s = 0.5; s < most; s++) {
    const [p, q] = [
      [a[0] + s * u[0], a[1] + s * u[1]],
      [b[0] + s * v[0], b[1] + s * v[1]],
    ] as const;
    if (![p, q].every(([x, y]) => isWithin(field, x, y))) break;
    let sum = 0;
    for (const share of across) sum += valueAt(field, p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1]));
    sums.push(sums.at(-1)! + sum / across.length);
  }
  return { from: 0, count: sums.length - 1, sums: Float64Array.from(sums) };
}

/** Corners of the strip with steps of this spacing, the dark end first. */
function cornersOf(sides: ThreeSides, pitchPx: number, steps: number): Corners {
  const { corners, along, isPaleEnd } = sides;
  const length = placeAlong(sides, pitchPx)(steps);
  const far = corners.map(([x, y], i): PointPx => [x + length * along[i]![0], y + length * along[i]![1]]);
  return isPaleEnd ? [far[1]!, corners[1], corners[0], far[0]!] : [corners[0], far[0]!, far[1]!, corners[1]];
}
