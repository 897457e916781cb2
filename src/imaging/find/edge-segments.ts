// Straight edges of a field: connected pixels whose slopes point the same way.
import { valueAtRank } from "#shared/statistics/value-at-rank.ts";
import type { Field } from "./smoothed-field.ts";

/** A straight edge. */
export interface Segment {
  /** Middle [small px]. */
  readonly x: number;
  readonly y: number;
  /** Unit vector across the edge, from higher values (bluer, darker) to lower ones. */
  readonly acrossX: number;
  readonly acrossY: number;
  /** Length [small px]. */
  readonly length: number;
  /** Mean slope of the field across the edge [per small px]. */
  readonly strength: number;
}

/** Slopes weaker than this are never an edge (density or log ratio per small pixel). */
const leastSlope = 0.006;
/** ... nor are slopes below this multiple of the picture's middle slope, which measures grain and weave. */
const slopeOverMiddle = 2.2;
/** Slopes of one edge agree within this angle: cosine of 24 degrees. */
const sameDirection = Math.cos((24 * Math.PI) / 180);
const fewestPixels = 10;
const shortestEdge = 7;
/** Length over width of an edge that is a line. */
const leastSlimness = 1.8;
/** Edges kept, strongest and longest first. */
const mostSegments = 4000;

/** The straight edges of a field, longest times strongest first. */
export function edgeSegments(field: Field): Segment[] {
  const { width, values } = field;
  const slope = slopes(field);
  const sample = new Float32Array(Math.ceil(slope.length / 17));
  for (let i = 0, at = 0; at < slope.length; i++, at += 17) sample[i] = slope[at]!;
  const rank = (share: number) => valueAtRank(sample, Math.floor(sample.length * share));
  const threshold = Math.max(leastSlope, slopeOverMiddle * rank(0.5));
  const highest = Math.max(threshold * 2, rank(0.999));
  const order = strongestFirst(slope, threshold, highest);

  const places: SteepPlaces = {
    width,
    values,
    slope,
    threshold,
    taken: new Uint8Array(values.length),
    room: new Uint32Array(order.length),
    neighbours: [1, -1, width, -width, width + 1, width - 1, -width + 1, -width - 1],
  };
  const segments: Segment[] = [];
  for (const seed of order) {
    const region = places.taken[seed] === 1 ? null : regionOf(places, seed);
    const segment = region === null ? null : segmentOf(region.places, width, slope, region.sumX, region.sumY);
    if (segment !== null) segments.push(segment);
  }
  segments.sort((a, b) => b.length * b.strength - a.length * a.strength);
  return segments.slice(0, mostSegments);
}

interface SteepPlaces {
  readonly width: number;
  readonly values: Float32Array;
  readonly slope: Float32Array;
  readonly threshold: number;
  /** 1 where a place already belongs to a region. */
  readonly taken: Uint8Array;
  /** Holds the places of one region at a time. */
  readonly room: Uint32Array;
  /** Ways from a place to its eight neighbours. */
  readonly neighbours: readonly number[];
}

/**
 * Connected places round a seed whose slopes point the same way, with the sum of their unit vectors; null when they are
 * few.
 */
function regionOf(
  { width, values, slope, threshold, taken, room, neighbours }: SteepPlaces,
  seed: number,
): { places: Uint32Array; sumX: number; sumY: number } | null {
  taken[seed] = 1;
  room[0] = seed;
  let size = 1;
  // A slope's unit vector points towards lower values.
  let sumX = Math.fround(-(values[seed + 1]! - values[seed - 1]!) / 2) / slope[seed]!;
  let sumY = Math.fround(-(values[seed + width]! - values[seed - width]!) / 2) / slope[seed]!;
  for (let i = 0; i < size; i++) {
    const norm = Math.sqrt(sumX * sumX + sumY * sumY);
    for (let n = 0; n < neighbours.length; n++) {
      const at = room[i]! + neighbours[n]!;
      const steepness = slope[at]!;
      if (!(steepness > threshold) || taken[at] !== 0) continue;
      const unitX = Math.fround(-(values[at + 1]! - values[at - 1]!) / 2) / steepness;
      const unitY = Math.fround(-(values[at + width]! - values[at - width]!) / 2) / steepness;
      if (unitX * sumX + unitY * sumY < sameDirection * norm) continue;
      taken[at] = 1;
      room[size++] = at;
      sumX += unitX;
      sumY += unitY;
    }
  }
  return size < fewestPixels ? null : { places: room.subarray(0, size), sumX, sumY };
}

/** How steep the field is at every place [per small px]; 0 along the rim. */
function slopes({ width, height, values }: Field): Float32Array {
  const slope = new Float32Array(values.length);
  for (let y = 1; y < height - 1; y++) slopesOfRow(slope, values, y * width, width);
  return slope;
}

/** A function of a row: called often, it is made quick early, in the first picture already. */
function slopesOfRow(slope: Float32Array, values: Float32Array, from: number, width: number): void {
  for (let at = from + 1; at < from + width - 1; at++) {
    const dx = (values[at + 1]! - values[at - 1]!) / 2;
    const dy = (values[at + width]! - values[at - width]!) / 2;
    slope[at] = Math.sqrt(dx * dx + dy * dy);
  }
}

/** Places steeper than the threshold, strongest first by buckets of slope. */
function strongestFirst(slope: Float32Array, threshold: number, highest: number): Uint32Array {
  const buckets = 64;
  const bucketOf = (at: number) =>
    Math.min(buckets - 1, Math.floor(((slope[at]! - threshold) / (highest - threshold)) * buckets));
  const steep = steepPlaces(slope, threshold);
  const starts = new Uint32Array(buckets + 1);
  for (const at of steep) starts[buckets - bucketOf(at)]!++;
  for (let b = 1; b <= buckets; b++) starts[b]! += starts[b - 1]!;
  const order = new Uint32Array(steep.length);
  for (const at of steep) order[starts[buckets - 1 - bucketOf(at)]!++] = at;
  return order;
}

function steepPlaces(slope: Float32Array, threshold: number): Uint32Array {
  const room = new Uint32Array(slope.length);
  const atOnce = 4096;
  let count = 0;
  for (let from = 0; from < slope.length; from += atOnce)
    count = addSteep(room, count, slope.subarray(from, from + atOnce), { threshold, from });
  return room.subarray(0, count);
}

/** Adds the steep places of a stretch; gives how many there are now. */
function addSteep(
  room: Uint32Array,
  count: number,
  slope: Float32Array,
  { threshold, from }: { threshold: number; from: number },
): number {
  let next = count;
  for (let i = 0; i < slope.length; i++) if (slope[i]! > threshold) room[next++] = from + i;
  return next;
}

/** The line through a region, or null when it is a blob. */
function segmentOf(
  region: Uint32Array,
  width: number,
  slope: Float32Array,
  sumX: number,
  sumY: number,
): Segment | null {
  let weight = 0;
  let mx = 0;
  let my = 0;
  let strength = 0;
  for (const at of region) {
    const w = slope[at]!;
    weight += w;
    mx += w * (at % width);
    my += w * Math.floor(at / width);
    strength += w;
  }
  mx /= weight;
  my /= weight;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const at of region) {
    const w = slope[at]! / weight;
    const dx = (at % width) - mx;
    const dy = Math.floor(at / width) - my;
    xx += w * dx * dx;
    xy += w * dx * dy;
    yy += w * dy * dy;
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  const alongX = Math.cos(angle);
  const alongY = Math.sin(angle);
  let low = Infinity;
  let high = -Infinity;
  for (const at of region) {
    const p = ((at % width) - mx) * alongX + (Math.floor(at / width) - my) * alongY;
    low = Math.min(low, p);
    high = Math.max(high, p);
  }
  const length = high - low + 1;
  const spread = Math.sqrt(Math.max(0, xx * alongY * alongY - 2 * xy * alongX * alongY + yy * alongX * alongX));
  if (length < shortestEdge || length < leastSlimness * 3.5 * Math.max(spread, 0.3)) return null;
  // The perpendicular that points the way the slopes do.
  const side = -alongY * sumX + alongX * sumY >= 0 ? 1 : -1;
  const middle = (low + high) / 2;
  return {
    x: mx + middle * alongX + 0.5,
    y: my + middle * alongY + 0.5,
    acrossX: -alongY * side,
    acrossY: alongX * side,
    length,
    strength: strength / region.length,
  };
}
