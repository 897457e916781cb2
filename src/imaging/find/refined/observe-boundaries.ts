// Where the boundaries between the steps of a supposed strip are seen, by the fall of the tones or a thin line.
// Numbers: common practice, no source (rendered scenes).
import { median, robustSigma } from "#shared/statistics/robust.ts";
import { settleHalfShare, steepestPlace } from "#src/imaging/find/follow-boundaries.ts";
import { boundaryAt, fallAt, lineAt, rowShare, type StripBand } from "#src/imaging/find/strip-band.ts";
import type { LevelBand } from "./level-band.ts";
import { observed, type Observation, type Reach } from "./observation.ts";
import type { PlaceOf } from "./strip-shape.ts";

/** A boundary seen between two steps: how much the tones fall there, or a line between them stands out. */
export interface SeenBoundary {
  readonly k: number;
  readonly fall: number;
  readonly isLine: boolean;
}

export interface ObservedBoundaries {
  readonly observations: readonly Observation[];
  /** Number of the boundary of each of them. */
  readonly boundaryOfLine: readonly number[];
  readonly boundaries: readonly SeenBoundary[];
}

const leastNoise = 0.0012;
/** The 30 % quantile of a half-normal distribution, in standard deviations. */
const lowerQuantile = { share: 0.3, sigmas: 0.385 };
/** A boundary is seen when its fall exceeds the noise so many times, and its lean when it does so more often. */
const seenOverNoise = 3.5;
const leanOverNoise = 6;
const leastFall = 0.005;
/** A third of the height shows a boundary that falls at least this share of the whole one's fall. */
const thirdShare = 0.4;
/** The outer thirds of the height say how a boundary leans, this many times less surely than all of it its place. */
const leanWorth = 2.5;
/** So many boundaries say how much numbers bend them. */
const fewestForScatter = 4;
/** A boundary is placed at best to this many small pixels, and this share of the pitch. */
const placeSigmaPx = 0.25;
const placeSigmaSteps = 0.015;
/** One that not all thirds of the height show may be a hair or the edge of a shadow: it places so well, in steps. */
const partSigmaSteps = 0.1;

/** Standard deviation of the fall where there is no boundary: in the middles of the steps (log10). */
export function noiseOf({ band, perStep }: LevelBand, steps: number): number {
  const between = Array.from({ length: steps }, (_, k) =>
    Math.abs(fallAt(band, (k + 0.5) * perStep, settleHalfShare * perStep)),
  ).sort((a, b) => a - b);
  return Math.max(leastNoise, between[Math.floor(between.length * lowerQuantile.share)]! / lowerQuantile.sigmas);
}

/** Rows of the upper, middle and lower part of a band, and their mean place across it. */
function thirdsOf(band: StripBand): Third[] {
  const count = band.rows.length;
  const third = Math.floor(count / 3);
  const part = (from: number, to: number): Third => {
    const mean = (rows: readonly Float64Array[]) =>
      rows[0]!.map((_, i) => rows.slice(from, to).reduce((sum, row) => sum + row[i]!, 0) / (to - from));
    const sums = mean(band.plainRowSums);
    const raw = mean(band.rowSums);
    return { v: (rowShare(from) + rowShare(to - 1)) / 2, sums, lineSums: raw.map((sum, i) => sum - sums[i]!) };
  };
  return [part(0, third), part(third, count - third), part(count - third, count)];
}

/** A part of the height: sums of the field along it without thin lines, and of these alone, pale ones below 0. */
interface Third {
  readonly v: number;
  readonly sums: Float64Array;
  readonly lineSums: Float64Array;
}

interface Found extends SeenBoundary {
  readonly s: number;
  readonly sigma: number;
  /** Where the thirds of the height show it; empty where not all of them do. */
  readonly parts: readonly number[];
}

/** Looks for the boundaries between steps near their supposed places. @param noise of the field's falls (log10) */
export function boundariesOf(
  level: LevelBand,
  placeOf: PlaceOf,
  { steps, reach, noise }: { readonly steps: number; readonly reach: Reach; readonly noise: number },
): ObservedBoundaries {
  const { perStep, samplePx } = level;
  const thirds = thirdsOf(level.band);
  const found = foundBoundaries(level, thirds, { steps, near: reach.boundarySteps * perStep, noise });
  // Numbers printed in the steps lie in one part of the height, and bend the boundaries there, one by one or all alike.
  const leaning = found.filter(({ parts }) => parts.length > 0);
  const bends = leaning.map(({ parts }) => parts[0]! + parts[2]! - 2 * parts[1]!);
  const bend = bends.length < fewestForScatter ? 0 : robustSigma(bends, 0);
  const observations: Observation[] = [];
  const boundaryOfLine: number[] = [];
  const add = (k: number, v: number, s: number, sigma: number) => {
    boundaryOfLine.push(k);
    observations.push(
      observed(placeOf, "of u", [k / steps, v], [s / perStep / steps, v], { sigmaPx: sigma * samplePx }),
    );
  };
  for (const { k, s, sigma, parts } of found) {
    add(k, 0.5, s, parts.length > 0 ? sigma : Math.hypot(sigma, partSigmaSteps * perStep));
    for (const i of parts.length === 0 ? [] : [0, 2])
      add(k, thirds[i]!.v, parts[i]!, Math.hypot(leanWorth * sigma, bend));
  }
  return { observations, boundaryOfLine, boundaries: found };
}

function foundBoundaries(
  level: LevelBand,
  thirds: readonly Third[],
  { steps, near, noise }: { readonly steps: number; readonly near: number; readonly noise: number },
): Found[] {
  const { band, perStep, samplePx } = level;
  const half = settleHalfShare * perStep;
  const least = Math.max(leastFall, seenOverNoise * noise);
  const { places: lines, halfWidth } = linesOf(level, { steps, near, least });
  // Where lines lie between the steps, a tone ends at one side of a line or the other.
  const isRuled = lines.filter((line) => line !== null).length >= ruledShare * (steps - 1);
  return Array.from({ length: steps - 1 }, (_, i) => i + 1).flatMap((k) => {
    const onLine = isRuled ? lines[k - 1]! : null;
    const whole = onLine ?? steepestPlace((s) => boundaryAt(band, s, half, perStep), k * perStep, half, near);
    if (whole === null || whole.fall < least) return [];
    const sigma = Math.hypot(
      placeSigmaPx / samplePx,
      placeSigmaSteps * perStep,
      (0.6 * half * noise) / whole.fall,
      isRuled && onLine === null ? halfWidth : 0,
    );
    const parts = thirds.flatMap(({ sums, lineSums }) => {
      const part =
        onLine === null
          ? steepestPlace((s) => fallAt(band, s, half, sums), whole.s, half, half)
          : lineNear({ sums: lineSums, from: band.from }, whole.s, lineReach * perStep);
      return part !== null && part.fall > thirdShare * whole.fall ? [part.s] : [];
    });
    const isLeaning = whole.fall >= leanOverNoise * noise && parts.length === thirds.length;
    return [{ k, s: whole.s, fall: whole.fall, isLine: onLine !== null, sigma, parts: isLeaning ? parts : [] }];
  });
}

/** Lines seen at this share of the boundaries lie at all of them. */
const ruledShare = 0.35;
/** ... where each stands out by at least this share of what the plainest third of them do. */
const likeOthers = 0.4;
/** A line is looked at over this share of a step to either side of its middle. */
const lineReach = 0.25;

/** Thin lines near the boundaries: their middles, what they stand out by, and half their usual width [samples]. */
function linesOf(
  { band, perStep }: LevelBand,
  { steps, near, least }: { readonly steps: number; readonly near: number; readonly least: number },
): { places: ({ s: number; fall: number } | null)[]; halfWidth: number } {
  const found = Array.from({ length: steps - 1 }, (_, i) => {
    const middle = (i + 1) * perStep;
    let best = { s: middle, strength: 0 };
    for (let s = middle - near; s <= middle + near; s += 0.5) {
      const strength = lineAt(band, s, perStep);
      if (strength > best.strength) best = { s, strength };
    }
    const line = lineNear({ sums: band.lineSums, from: band.from }, best.s, lineReach * perStep);
    return line === null ? null : { ...line, fall: best.strength };
  });
  const plainest = found.map((line) => line?.fall ?? 0).sort((a, b) => b - a)[Math.floor(steps / 6)] ?? 0;
  const places = found.map((line) =>
    line === null || line.fall < Math.max(least, likeOthers * plainest) ? null : line,
  );
  const widths = places.flatMap((line) => (line === null ? [] : [line.width]));
  return { places, halfWidth: widths.length === 0 ? 0 : median(widths) / 2 };
}

/** Middle and width of what stands out near a place, and by how much over one pitch; null where nothing does. */
function lineNear(
  { sums, from }: { readonly sums: Float64Array; readonly from: number },
  place: number,
  reach: number,
): { s: number; fall: number; width: number } | null {
  const first = Math.max(0, Math.floor(place - reach - from));
  const last = Math.min(sums.length - 1, Math.ceil(place + reach - from));
  const sign = Math.sign(sums[last]! - sums[first]!);
  let [sum, moment, most] = [0, 0, 0];
  for (let j = first; j < last; j++) {
    const value = Math.max(0, sign * (sums[j + 1]! - sums[j]!));
    sum += value;
    moment += value * (from + j + 0.5);
    most = Math.max(most, value);
  }
  return sum > 0 ? { s: moment / sum, fall: sum / (0.8 * reach), width: sum / most } : null;
}
