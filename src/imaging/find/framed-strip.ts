// A strip's frame with the boundaries seen along it: the long edges foretell the perspective, the boundaries say how
// they lean. Numbers: common practice, no source (tuned on rendered scenes).
import { homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { robustSigma } from "#shared/statistics/robust.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import type { Field } from "./smoothed-field.ts";
import { pitchAt, steepestNear, type StepComb } from "./follow-boundaries.ts";
import { stepComb } from "./step-comb.ts";
import { rowShare, stripBand, type StripBand } from "./strip-band.ts";
import { settleLongEdges, type LongEdge } from "./long-edges.ts";
import { frameOfCorners, frameOfGroup, heldLineSigma, robustHeldLine, type StripFrame } from "./strip-frame.ts";
import { heightFromBoundaries } from "./strip-height.ts";

/**
 * A picture taken at any usable tilt shrinks by less than this along the strip: standard deviation, for the whole
 * strip.
 */
const tiltShrink = 0.08;
/** How much the lean of the boundaries usually changes over the strip, and how well one boundary shows its own. */
const usualLeanChange = 0.15;
const leanNoise = 0.02;
/** What bends one boundary bends all of them by this share of it. */
const commonShare = 0.5;
/** Fewest boundaries whose scatter says how well they show it. */
const fewestForScatter = 5;
/** Boundaries that fall by more than this (log10) count alike. */
const mostBoundaryWeight = 0.1;
/** A strip is at least this high [small px]. */
const leastHeightPx = 4;
/** The long edges never tell the perspective better than this, for one step. */
const leastShrinkSigma = 0.0004;
/** Bend of stretched cloth that the comb allows for, for the whole strip. */
const combBend = 0.015;

export interface FramedStrip {
  readonly frame: StripFrame;
  readonly edges: readonly [LongEdge, LongEdge];
  readonly band: StripBand;
  readonly comb: StepComb;
  /** Perspective that the long edges and a usual tilt foretell, for the comb's boundary 0. */
  readonly shrink: { readonly expected: number; readonly sigma: number };
}

/**
 * Lays a frame over a group of edges and follows the boundaries along it.
 * @param field blueness, or darkness for grey pictures
 * @param steps declared number of steps
 * @returns null when nothing strip-like remains
 */
export function frameStrip(field: Field, group: EdgeGroup, steps: number): FramedStrip | null {
  const first = frameOfGroup(group, field);
  const places = group.members
    .map((member) => ({ s: alongFrame(first, member), pitch: group.pitchPx }))
    .sort((a, b) => a.s - b.s);
  const rough = framed(field, first, { places, pitch: group.pitchPx, steps, isPitchSure: false });
  return rough === null ? null : framedAgain(field, rough, { steps, pitch: rough.comb.grid.pitch });
}

/**
 * Lays a frame over a strip that was marked by hand.
 * @param corners small pixels, the dark end first
 */
export function frameMarked(field: Field, corners: Corners, steps: number): FramedStrip | null {
  const first = frameOfCorners(corners, field);
  const toPicture = homographyFromCorners(corners);
  const along = (u: number) => {
    const [x, y] = mapPoint(toPicture, u, 0.5);
    return (x - first.originX) * first.alongX + (y - first.originY) * first.alongY;
  };
  const places = Array.from({ length: steps - 1 }, (_, i) => ({
    s: along((i + 1) / steps),
    pitch: along((i + 1.5) / steps) - along((i + 0.5) / steps),
  }));
  const middle = places[places.length >> 1];
  if (middle === undefined) return null;
  const rough = framed(field, first, { places, pitch: middle.pitch, steps, isPitchSure: true });
  if (rough === null) return null;
  // The comb began in the middle of the marks; the boundaries that are seen may lie far from there, nearer or further
  // from the camera, and so more or less apart.
  const { grid, boundaries } = rough.comb;
  return framedAgain(field, rough, { steps, pitch: pitchAt(grid, boundaries[boundaries.length >> 1]!.k) });
}

/** Once the boundaries are known, the edges beside them are looked at again. */
function framedAgain(
  field: Field,
  rough: FramedStrip,
  { steps, pitch }: { readonly steps: number; readonly pitch: number },
): FramedStrip | null {
  const { grid, boundaries } = rough.comb;
  return framed(
    field,
    { ...rough.frame, lean: leanOfBoundaries(rough, steps, null).lean },
    {
      places: boundaries.map((b) => ({ s: b.s, pitch: pitchAt(grid, b.k) })),
      pitch,
      steps,
      isPitchSure: true,
    },
  );
}

function framed(
  field: Field,
  first: StripFrame,
  {
    places,
    pitch,
    steps,
    isPitchSure,
  }: {
    readonly places: readonly { readonly s: number; readonly pitch: number }[];
    readonly pitch: number;
    readonly steps: number;
    readonly isPitchSure: boolean;
  },
): FramedStrip | null {
  const raised = heightFromBoundaries(field, first, places);
  if (raised.bottom[0] - raised.top[0] < leastHeightPx) return null;
  const { frame, edges } = settleLongEdges(field, raised, [places[0]!.s, places.at(-1)!.s]);
  const height = frame.bottom[0] - frame.top[0];
  if (height < leastHeightPx) return null;
  const band = stripBand(field, frame, pitch);
  const middle = places[places.length >> 1]!.s;
  const heightThere = height + (frame.bottom[1] - frame.top[1]) * middle;
  const fromEdges = {
    expected: (-(frame.bottom[1] - frame.top[1]) * pitch) / heightThere,
    sigma: Math.max(leastShrinkSigma, (Math.hypot(edges[0].slopeSigma, edges[1].slopeSigma) * pitch) / heightThere),
  };
  const usual = tiltShrink / steps;
  const weight = 1 / (1 + (fromEdges.sigma / usual) ** 2);
  const shrink = { expected: fromEdges.expected * weight, sigma: fromEdges.sigma * Math.sqrt(weight) };
  const comb = stepComb(
    band,
    {
      places: places.map((p) => p.s),
      pitch,
      shrink: shrink.expected,
      shrinkSpread: Math.hypot(shrink.sigma, (2 * combBend) / steps),
      origin: middle,
    },
    isPitchSure,
  );
  if (comb === null || comb.boundaries.length < 2) return null;
  return { frame, edges, band, comb, shrink };
}

export interface Lean {
  /** At s = 0, and change with s. */
  readonly lean: readonly [number, number];
  /** Standard uncertainty of the lean at a place along the strip. */
  readonly sigmaAt: (s: number) => number;
}

/** How the boundaries lean, from where they, and an end that rises, lie in the upper and the lower rows of the band. */
export function leanOfBoundaries(
  { frame, band, comb: { grid, boundaries, noise } }: Pick<FramedStrip, "frame" | "band" | "comb">,
  steps: number,
  endS: number | null,
): Lean {
  const height = frame.bottom[0] - frame.top[0];
  const third = Math.floor(band.rows.length / 3);
  const sumsOf = (rows: readonly Float64Array[]) =>
    rows[0]!.map((_, i) => rows.reduce((sum, row) => sum + row[i]!, 0) / rows.length);
  const upper = sumsOf(band.rowSums.slice(0, third));
  const middle = sumsOf(band.rowSums.slice(third, -third));
  const lower = sumsOf(band.rowSums.slice(-third));
  const apart = (rowShare(band.rows.length - 1) - rowShare(0)) * height * (1 - (third - 1) / (band.rows.length - 1));
  const points: [number, number, number][] = [];
  const bends: number[] = [];
  const addPoint = (s: number, pitch: number, weight: number, isRise: boolean) => {
    const [up, mid, low] = [upper, middle, lower].map(
      (sums) => steepestNear(band, { s, pitch, noise, sums: isRise ? sums.map((sum) => -sum) : sums }) ?? Number.NaN,
    );
    if (!Number.isFinite(up! + low!)) return;
    points.push([s, (low! - up!) / apart, weight]);
    if (Number.isFinite(mid!)) bends.push((2 * mid! - up! - low!) / apart);
  };
  for (const b of boundaries) addPoint(b.s, pitchAt(grid, b.k), Math.min(b.fall, mostBoundaryWeight), false);
  if (endS !== null) addPoint(endS, grid.pitch, 2 * mostBoundaryWeight, true);
  const slopeSize = usualLeanChange / (steps * grid.pitch);
  const [residual, change] = robustHeldLine(points, slopeSize, leanNoise);
  // Numbers printed in the steps move their rows against the others: what scatters, or is bent, says less.
  const scatter = points.map(([s, lean]) => lean - residual - change * s);
  const spreads = [scatter, bends].map((values) => (values.length < fewestForScatter ? 0 : robustSigma(values, 0)));
  const noisy = Math.max(leanNoise, ...spreads);
  return {
    lean: [frame.lean[0] + residual, frame.lean[1] + change],
    // ... nor do more boundaries help where numbers stand in all of them alike.
    sigmaAt: (s) =>
      Math.min(
        usualLeanChange,
        Math.hypot(
          heldLineSigma(points, { at: s, slopeSize, noise: noisy }),
          noisy > leanNoise ? commonShare * noisy : 0,
        ),
      ),
  };
}

/** Place of a segment's middle along the frame, its boundary's lean taken out. */
function alongFrame(frame: StripFrame, member: { readonly x: number; readonly y: number }): number {
  const dx = member.x - frame.originX;
  const dy = member.y - frame.originY;
  const s = dx * frame.alongX + dy * frame.alongY;
  const t = -dx * frame.alongY + dy * frame.alongX;
  return s - (frame.lean[0] + frame.lean[1] * s) * t;
}
