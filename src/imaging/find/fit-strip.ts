// Turns a group of edges into a strip: where its boundaries, long edges and ends lie, and what speaks for it.
import { cornerTrouble } from "#shared/reading/corner-trouble.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import { fitGrid, gridAt, gridIndex, pitchAt, type Boundary, type StepGrid } from "./step-grid.ts";
import type { Field } from "./small-picture.ts";
import { frameOfGroup, frameToSmall, heightFromBoundaries, profileAlong, settleLongEdges, valueAcross, type StripFrame } from "./strip-frame.ts";

/** What speaks for and against a strip lying where it was put. */
export interface StripEvidence {
  /** Boundaries seen on the grid. */
  readonly boundaries: number;
  /** Spread of these about the grid, as a share of the pitch. */
  readonly residualShare: number;
  /** How far the end that was relied on lies from a grid line, as a share of the pitch; 0.5 when no end was seen. */
  readonly phaseError: number;
  /** Ends seen: the dark one against paper, the pale one against blue. */
  readonly darkEnd: boolean;
  readonly paleEnd: boolean;
  /** Steps between both ends when both were seen; null otherwise. */
  readonly stepsBetweenEnds: number | null;
  /** Field inside minus field beside the strip, in its dark and its pale half. */
  readonly darkContrast: number;
  readonly paleContrast: number;
  /** Share of the steps that fall from dark to pale, things lying on the strip apart. */
  readonly fallingShare: number;
  /** Fall of the field from step 1 to the last step. */
  readonly fall: number;
  /** Mean change across the weaker long edge. */
  readonly edgeStrength: number;
}

export interface FoundStrip {
  /** Corners in small pixels, step 1 (dark) first. */
  readonly corners: Corners;
  readonly evidence: StripEvidence;
  /** Numbers (1 to steps - 1) of the boundaries that were seen. */
  readonly boundariesSeen: readonly number[];
  readonly pitchPx: number;
  readonly heightPx: number;
}

interface ProfileEdge {
  readonly s: number;
  /** Change of the field across the edge: below 0 where it gets paler along the strip. */
  readonly change: number;
}

/** Corners are checked for shape only; whether they lie in the picture is asked later. */
const everywhere = { width: Infinity, height: Infinity, steps: 1 };
/** An end of the strip changes the field by at least this much (log10). */
const leastEndChange = 0.06;
/** ... and by at least this share of the fall over the seen boundaries: both ends lead from pale to dark. */
const endShareOfFall = 0.5;
/** Difference between strip and surroundings that counts as seen (log10). */
const leastContrast = 0.06;
/** Steps may get darker again by this much (log10) and still count as falling. */
const fallSlack = 0.02;

/** Edges of the profile: local extremes of the difference between the means on both sides. */
function profileEdges(values: Float32Array, from: number, half: number): { edges: ProfileEdge[]; noise: number } {
  const w = Math.max(1, Math.round(half));
  const sums = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!;
  const change = new Float32Array(values.length);
  for (let i = w; i + w <= values.length; i++) change[i] = (sums[i + w]! - sums[i]! - (sums[i]! - sums[i - w]!)) / w;
  const sizes = Float32Array.from(change, Math.abs).sort();
  const noise = Math.max(0.002, sizes[Math.floor(sizes.length * 0.35)]!);
  const edges: ProfileEdge[] = [];
  for (let i = w + 1; i + w < values.length; i++) {
    const c = change[i]!;
    const sign = Math.sign(c);
    if (Math.abs(c) < 0.004 || sign * c < sign * change[i - 1]! || sign * c <= sign * change[i + 1]!) continue;
    const [l, r] = [change[i - 1]!, change[i + 1]!];
    const curve = l - 2 * c + r;
    const shift = curve === 0 ? 0 : Math.min(Math.max((0.5 * (l - r)) / curve, -0.5), 0.5);
    // values[i] is the profile at s = from + i, so the step between i - 1 and i lies half a pixel before it.
    edges.push({ s: from + i - 0.5 + shift, change: c });
  }
  return { edges, noise };
}

/**
 * Fits a strip to a group of edges.
 * @param field blueness, or darkness for grey pictures
 * @param steps declared number of steps
 * @returns null when nothing strip-like remains
 */
export function fitStrip(field: Field, group: EdgeGroup, steps: number): FoundStrip | null {
  let frame = frameOfGroup(group, field);
  const places = group.members.map((member) => ({ s: alongFrame(frame, member), weight: member.length * member.strength })).sort((a, b) => a.s - b.s);
  const strongest = places.reduce((best, p) => (p.weight > best.weight ? p : best));
  let grid: StepGrid = { start: strongest.s, pitch: group.pitchPx, shrink: 0 };

  // First with the group's own height, then with the height over which its boundaries reach.
  let profile = profileAlong(field, frame);
  let found = profileEdges(profile.values, profile.from, Math.min(Math.max(group.pitchPx / 3, 1), 8));
  let seen = walkGrid(grid, found.edges, found.noise, 0.3);
  if (seen.length < 2) return null;
  frame = heightFromBoundaries(field, frame, seen.map((b) => ({ s: b.s, pitch: grid.pitch })));
  const settled = settleLongEdges(field, frame, [Math.min(...seen.map((b) => b.s)), Math.max(...seen.map((b) => b.s))]);
  frame = settled.frame;
  const height = frame.bottom[0] - frame.top[0];
  if (height < 4) return null;
  profile = profileAlong(field, frame);
  found = profileEdges(profile.values, profile.from, Math.min(Math.max(group.pitchPx / 3, 1), 8));
  const { edges, noise } = found;
  const shrinkFor = (slope: number) => (slope * grid.pitch) / height;
  const shrink = { expected: shrinkFor(-(frame.bottom[1] - frame.top[1])), sigma: Math.max(0.0004, shrinkFor(Math.hypot(settled.edges[0].slopeSigma, settled.edges[1].slopeSigma))) };

  // Walk outwards from the strongest boundary as long as boundaries lie on the grid.
  let residualShare = 1;
  for (let round = 0; round < 4; round++) {
    const next = walkGrid(grid, edges, noise, round === 0 ? 0.3 : 0.22);
    if (next.length < 2) return null;
    seen = next;
    ({ grid, residualShare } = fitGrid(seen, shrink, Math.max(0.3, 0.04 * grid.pitch)));
    if (!(grid.pitch > 2)) return null;
  }
  const ends = chooseEnds(field, frame, grid, { profile, edges, seen, steps, noise });
  // An end that was relied on is one more boundary.
  if (ends.endS !== null) ({ grid } = fitGrid([...seen, { k: ends.endK, s: ends.endS, weight: 0.6 }], shrink, Math.max(0.3, 0.04 * grid.pitch)));
  const startK = ends.startK;
  const corner = (k: number, edge: readonly [number, number]): PointPx => {
    const s = gridAt(grid, k);
    const lean = frame.lean[0] + frame.lean[1] * s;
    const t = (edge[0] + edge[1] * s) / (1 - edge[1] * lean);
    return frameToSmall(frame, s + lean * t, t);
  };
  const first: Corners = [corner(startK, frame.top), corner(startK + steps, frame.top), corner(startK + steps, frame.bottom), corner(startK, frame.bottom)];
  if (first.some((point) => point.some((value) => !Number.isFinite(value))) || cornerTrouble(first, everywhere) !== null) return null;
  const stepMeans = Array.from({ length: steps }, (_, i) => meanBetween(profile, gridAt(grid, startK + i + 0.25), gridAt(grid, startK + i + 0.75)));
  const known = stepMeans.filter((value) => value !== null);
  const kept = longestFall(known, Math.max(fallSlack, 2 * noise));
  return {
    corners: first,
    boundariesSeen: seen.map((b) => b.k - startK).filter((k) => k > 0 && k < steps).sort((a, b) => a - b),
    pitchPx: pitchAt(grid, startK + steps / 2),
    heightPx: height,
    evidence: {
      boundaries: seen.filter((b) => b.k >= startK - 0.5 && b.k <= startK + steps + 0.5).length,
      residualShare,
      phaseError: ends.phaseError,
      darkEnd: ends.darkEnd,
      paleEnd: ends.paleEnd,
      stepsBetweenEnds: ends.stepsBetweenEnds,
      darkContrast: ends.darkContrast,
      paleContrast: ends.paleContrast,
      fallingShare: kept / steps,
      fall: known.length < 2 ? 0 : known[0]! - known.at(-1)!,
      edgeStrength: Math.min(settled.edges[0].strength, settled.edges[1].strength),
    },
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

/** Most values that can be kept so that each is no higher than the one before by more than the slack. */
export function longestFall(values: readonly number[], slack: number): number {
  const longest: number[] = [];
  values.forEach((value, i) => {
    longest[i] = 1;
    for (let j = 0; j < i; j++) if (value <= values[j]! + slack) longest[i] = Math.max(longest[i]!, longest[j]! + 1);
  });
  return Math.max(0, ...longest);
}

/** Boundaries on the grid, walking outwards from boundary 0 until three in a row are missing or an end of the strip is crossed. */
function walkGrid(grid: StepGrid, edges: readonly ProfileEdge[], noise: number, slack: number): Boundary[] {
  const seen: Boundary[] = [];
  let fall = 0;
  for (const direction of [1, -1]) {
    let missed = 0;
    let from = gridAt(grid, direction === 1 ? -0.3 : 0.3);
    for (let k = direction === 1 ? 0 : -1; missed < 3 && Math.abs(k) < 260; k += direction) {
      const target = gridAt(grid, k);
      const pitch = pitchAt(grid, k);
      if (!(pitch > 1) || !Number.isFinite(target)) break;
      let best: ProfileEdge | null = null;
      let crossed = false;
      const to = target + direction * slack * pitch;
      for (const edge of edges) {
        const passed = direction * (edge.s - from) > 0 && direction * (to - edge.s) > 0;
        if (edge.change > 0) {
          // Hairs rise and fall again at once; an end does not.
          if (passed && edge.change > Math.max(leastEndChange, endShareOfFall * fall) && !fallsBack(edge, edges, pitch)) crossed = true;
          continue;
        }
        if (Math.abs(edge.s - target) > slack * pitch || -edge.change < 2.5 * noise) continue;
        if (best === null || edge.change < best.change) best = edge;
      }
      if (crossed) break;
      from = to;
      if (best === null) missed++;
      else {
        seen.push({ k, s: best.s, weight: Math.min(-best.change, 0.3) });
        fall += -best.change;
        missed = 0;
      }
    }
  }
  return seen;
}

/** Whether a rise is undone by a like fall within a step's width: something thin or small lying there. */
function fallsBack(rise: ProfileEdge, edges: readonly ProfileEdge[], pitch: number): boolean {
  return edges.some((edge) => edge.change < -0.6 * rise.change && Math.abs(edge.s - rise.s) < 0.9 * pitch);
}

function meanBetween(profile: { from: number; values: Float32Array }, s0: number, s1: number): number | null {
  const a = Math.max(0, Math.round(s0 - profile.from));
  const b = Math.min(profile.values.length, Math.max(a + 1, Math.round(s1 - profile.from)));
  if (!(b > a) || s1 < profile.from || s0 > profile.from + profile.values.length) return null;
  let sum = 0;
  for (let i = a; i < b; i++) sum += profile.values[i]!;
  return sum / (b - a);
}

/** Middle of inside minus beside over boundaries k0 to k1, on the side that differs more. */
function contrastBeside(field: Field, frame: StripFrame, grid: StepGrid, k0: number, k1: number): number {
  const top: number[] = [];
  const bottom: number[] = [];
  for (let i = 0; i < 24; i++) {
    const s = gridAt(grid, k0 + ((k1 - k0) * (i + 0.5)) / 24);
    if (!(s > frame.sFrom && s < frame.sTo)) continue;
    const inside = (valueAcross(field, frame, s, 0.3) + valueAcross(field, frame, s, 0.5) + valueAcross(field, frame, s, 0.7)) / 3;
    top.push(inside - (valueAcross(field, frame, s, -0.1) + valueAcross(field, frame, s, -0.16)) / 2);
    bottom.push(inside - (valueAcross(field, frame, s, 1.1) + valueAcross(field, frame, s, 1.16)) / 2);
  }
  if (top.length === 0) return 0;
  const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;
  const [t, b] = [middle(top), middle(bottom)];
  return Math.abs(t) > Math.abs(b) ? t : b;
}

interface Ends {
  readonly startK: number;
  readonly phaseError: number;
  readonly darkEnd: boolean;
  readonly paleEnd: boolean;
  readonly stepsBetweenEnds: number | null;
  readonly darkContrast: number;
  readonly paleContrast: number;
  /** The end relied on: its place and its boundary number; null when none was seen. */
  readonly endS: number | null;
  readonly endK: number;
}

/**
 * Which boundary is the strip's first. At both ends the field rises along the strip (paper to dark blue, pale step to blue
 * surround), while every step boundary falls, so ends are the rises next to the falling run.
 */
function chooseEnds(
  field: Field,
  frame: StripFrame,
  grid: StepGrid,
  { profile, edges, seen, steps, noise }: { profile: { from: number; values: Float32Array }; edges: readonly ProfileEdge[]; seen: readonly Boundary[]; steps: number; noise: number },
): Ends {
  const firstSeen = Math.min(...seen.map((b) => b.k));
  const lastSeen = Math.max(...seen.map((b) => b.k));
  const level = (k0: number, k1: number) => meanBetween(profile, gridAt(grid, k0), gridAt(grid, k1));
  const fall = (level(firstSeen - 0.7, firstSeen - 0.2) ?? 0) - (level(lastSeen + 0.2, lastSeen + 0.7) ?? 0);
  const limit = Math.max(leastEndChange, 4 * noise, endShareOfFall * fall);
  const reach = steps + 2.5;
  const rises = edges
    .filter((edge) => edge.change > 0.5 * limit)
    .map((edge) => ({ s: edge.s, k: gridIndex(grid, edge.s), change: edge.change }))
    .filter(({ k, s, change }) => {
      if (!Number.isFinite(k)) return false;
      const after = level(k + 0.15, k + 0.7);
      const before = level(k - 0.7, k - 0.15);
      return after !== null && before !== null && after - before > limit && !fallsBack({ s, change }, edges, pitchAt(grid, k));
    });
  const before = rises.filter(({ k }) => k < firstSeen - 0.5 && k > lastSeen - reach).at(-1);
  const after = rises.find(({ k }) => k > lastSeen + 0.5 && k < firstSeen + reach);
  const middle = (firstSeen + lastSeen) / 2;
  const darkFrom = before?.k ?? Math.max(firstSeen - 2, gridIndex(grid, frame.sFrom));
  const paleTo = after?.k ?? Math.min(lastSeen + 2, gridIndex(grid, frame.sTo));
  const darkContrast = contrastBeside(field, frame, grid, darkFrom, Math.min(middle, darkFrom + Math.max(2, steps / 4)));
  const paleContrast = contrastBeside(field, frame, grid, Math.max(middle, paleTo - Math.max(2, steps / 4)), paleTo);
  const darkEnd = before !== undefined && darkContrast > leastContrast;
  const paleEnd = after !== undefined && paleContrast < -leastContrast;
  // Stretch near an end shows in the boundaries nearest to it.
  const settledK = (k: number) => {
    const near = [...seen].sort((a, b) => Math.abs(a.k - k) - Math.abs(b.k - k)).slice(0, 4);
    return k - near.reduce((sum, b) => sum + (gridIndex(grid, b.s) - b.k), 0) / near.length;
  };
  const common = { darkEnd, paleEnd, darkContrast, paleContrast };
  const relyOn = (end: { s: number; k: number }, isStart: boolean, stepsBetweenEnds: number | null): Ends => {
    const k = settledK(end.k);
    const endK = Math.round(k);
    return { ...common, startK: isStart ? endK : endK - steps, phaseError: Math.abs(k - endK), stepsBetweenEnds, endS: end.s, endK };
  };
  if (darkEnd && paleEnd) {
    const between = Math.round(settledK(after.k)) - Math.round(settledK(before.k));
    return relyOn(Math.abs(darkContrast) > Math.abs(paleContrast) ? before : after, Math.abs(darkContrast) > Math.abs(paleContrast), between);
  }
  if (darkEnd) return relyOn(before, true, null);
  if (paleEnd) return relyOn(after, false, null);
  // No end stands out: centre the seen boundaries, as a guess to be asked about.
  return { ...common, startK: Math.round(middle - steps / 2), phaseError: 0.5, stepsBetweenEnds: null, endS: null, endK: 0 };
}
