// Turns a group of edges into a strip: where its boundaries, long edges and ends lie, and what speaks for it.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import { fitGrid, gridAt, gridIndex, pitchAt, type Boundary, type StepGrid } from "./step-grid.ts";
import type { Field } from "./small-picture.ts";
import { frameOfGroup, frameToSmall, profileAlong, settleLongEdges, valueAcross, type StripFrame } from "./strip-frame.ts";

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
  /** Share of neighbouring steps that do not get darker again. */
  readonly fallingShare: number;
  /** Fall of the field from step 1 to the last step. */
  readonly fall: number;
  /** Strongest rise of the field inside the strip: something that does not belong. */
  readonly riseInside: number;
  /** Mean change across the weaker long edge. */
  readonly edgeStrength: number;
}

export interface FoundStrip {
  /** Corners in small pixels, step 1 (dark) first. */
  readonly corners: Corners;
  readonly evidence: StripEvidence;
  readonly pitchPx: number;
  readonly heightPx: number;
}

interface ProfileEdge {
  readonly s: number;
  /** Change of the field across the edge: below 0 where it gets paler along the strip. */
  readonly change: number;
}

/** An end of the strip changes the field by at least this much (log10). */
const leastEndChange = 0.05;
/** Difference between strip and surroundings that counts as seen (log10). */
const leastContrast = 0.06;

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
  const along = (member: EdgeGroup["members"][number]) => {
    const dx = member.x - frame.originX;
    const dy = member.y - frame.originY;
    const s = dx * frame.alongX + dy * frame.alongY;
    const t = -dx * frame.alongY + dy * frame.alongX;
    return s - (frame.lean[0] + frame.lean[1] * s) * t;
  };
  const places = group.members.map((member) => ({ s: along(member), weight: member.length * member.strength })).sort((a, b) => a.s - b.s);
  const settled = settleLongEdges(field, frame, [places[0]!.s, places.at(-1)!.s]);
  frame = settled.frame;
  const height = frame.bottom[0] - frame.top[0];
  if (height < 4) return null;

  const profile = profileAlong(field, frame);
  const { edges, noise } = profileEdges(profile.values, profile.from, Math.min(Math.max(group.pitchPx / 3, 1), 8));
  const falls = edges.filter((edge) => edge.change < 0);
  const shrink = { expected: (-(frame.bottom[1] - frame.top[1]) * group.pitchPx) / height, sigma: Math.max(0.002, (0.02 * group.pitchPx) / height) };

  // Start from the group's own boundaries, then walk outwards as long as boundaries lie on the grid.
  const strongest = places.reduce((best, p) => (p.weight > best.weight ? p : best));
  let grid: StepGrid = { start: strongest.s, pitch: group.pitchPx, shrink: 0 };
  let seen: Boundary[] = [];
  let residualShare = 1;
  for (let round = 0; round < 4; round++) {
    const next = walkGrid(grid, falls, noise, round === 0 ? 0.3 : 0.22);
    if (next.length < 2) return null;
    seen = next;
    ({ grid, residualShare } = fitGrid(seen, shrink, Math.max(0.3, 0.04 * grid.pitch)));
    if (!(grid.pitch > 2)) return null;
  }
  const firstSeen = Math.min(...seen.map((b) => b.k));
  const lastSeen = Math.max(...seen.map((b) => b.k));

  const ends = chooseEnds(field, frame, grid, { edges, noise, firstSeen, lastSeen, steps });
  if (ends === null) return null;
  const startK = ends.startK;
  const corner = (k: number, edge: readonly [number, number]): PointPx => {
    const s = gridAt(grid, k);
    const lean = frame.lean[0] + frame.lean[1] * s;
    const t = (edge[0] + edge[1] * s) / (1 - edge[1] * lean);
    return frameToSmall(frame, s + lean * t, t);
  };
  const corners: Corners = [corner(startK, frame.top), corner(startK + steps, frame.top), corner(startK + steps, frame.bottom), corner(startK, frame.bottom)];
  if (corners.some((point) => point.some((value) => !Number.isFinite(value)))) return null;
  const stepMeans = Array.from({ length: steps }, (_, i) => meanBetween(profile, gridAt(grid, startK + i + 0.25), gridAt(grid, startK + i + 0.75)));
  const known = stepMeans.filter((value) => value !== null);
  const rises = known.slice(1).map((value, i) => value - known[i]!);
  return {
    corners,
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
      fallingShare: rises.length === 0 ? 0 : rises.filter((rise) => rise < Math.max(0.015, 2 * noise)).length / rises.length,
      fall: known.length < 2 ? 0 : known[0]! - known.at(-1)!,
      riseInside: Math.max(0, ...edges.filter((edge) => edge.s > gridAt(grid, startK + 0.4) && edge.s < gridAt(grid, startK + steps - 0.4)).map((edge) => edge.change)),
      edgeStrength: Math.min(...settled.strength),
    },
  };
}

/** Boundaries on the grid, walking outwards from boundary 0 until three in a row are missing. */
function walkGrid(grid: StepGrid, falls: readonly ProfileEdge[], noise: number, slack: number): Boundary[] {
  const seen: Boundary[] = [];
  for (const direction of [1, -1]) {
    let missed = 0;
    for (let k = direction === 1 ? 0 : -1; missed < 3 && Math.abs(k) < 260; k += direction) {
      const target = gridAt(grid, k);
      const pitch = pitchAt(grid, k);
      if (!(pitch > 1) || !Number.isFinite(target)) break;
      let best: ProfileEdge | null = null;
      for (const edge of falls) {
        if (Math.abs(edge.s - target) > slack * pitch || -edge.change < 2.5 * noise) continue;
        if (best === null || edge.change < best.change) best = edge;
      }
      if (best === null) missed++;
      else {
        seen.push({ k, s: best.s, weight: Math.min(-best.change, 0.3) });
        missed = 0;
      }
    }
  }
  return seen;
}

function meanBetween(profile: { from: number; values: Float32Array }, s0: number, s1: number): number | null {
  const a = Math.max(0, Math.round(s0 - profile.from));
  const b = Math.min(profile.values.length, Math.max(a + 1, Math.round(s1 - profile.from)));
  if (!(b > a) || s1 < profile.from || s0 > profile.from + profile.values.length) return null;
  let sum = 0;
  for (let i = a; i < b; i++) sum += profile.values[i]!;
  return sum / (b - a);
}

/** Mean of inside minus beside over boundaries k0 to k1, on the side that differs more and on the other. */
function contrastBeside(field: Field, frame: StripFrame, grid: StepGrid, k0: number, k1: number): number {
  let [top, bottom, count] = [0, 0, 0];
  for (let i = 0; i < 16; i++) {
    const s = gridAt(grid, k0 + ((k1 - k0) * (i + 0.5)) / 16);
    if (!(s > frame.sFrom && s < frame.sTo)) continue;
    const inside = (valueAcross(field, frame, s, 0.3) + valueAcross(field, frame, s, 0.5) + valueAcross(field, frame, s, 0.7)) / 3;
    top += inside - (valueAcross(field, frame, s, -0.12) + valueAcross(field, frame, s, -0.2)) / 2;
    bottom += inside - (valueAcross(field, frame, s, 1.12) + valueAcross(field, frame, s, 1.2)) / 2;
    count++;
  }
  if (count === 0) return 0;
  return (Math.abs(top) > Math.abs(bottom) ? top : bottom) / count;
}

interface Ends {
  readonly startK: number;
  readonly phaseError: number;
  readonly darkEnd: boolean;
  readonly paleEnd: boolean;
  readonly stepsBetweenEnds: number | null;
  readonly darkContrast: number;
  readonly paleContrast: number;
}

/**
 * Which boundary is the strip's first. At both ends the field rises along the strip (paper to dark blue, pale step to blue
 * surround), while every step boundary falls, so ends are the rises next to the falling run.
 */
function chooseEnds(
  field: Field,
  frame: StripFrame,
  grid: StepGrid,
  { edges, noise, firstSeen, lastSeen, steps }: { edges: readonly ProfileEdge[]; noise: number; firstSeen: number; lastSeen: number; steps: number },
): Ends | null {
  const limit = Math.max(leastEndChange, 4 * noise);
  const rises = edges.filter((edge) => edge.change > limit);
  const reach = steps + 2;
  const before = rises.filter((edge) => edge.s < gridAt(grid, firstSeen - 0.5) && gridIndex(grid, edge.s) > lastSeen - reach - 0.5).at(-1);
  const after = rises.find((edge) => edge.s > gridAt(grid, lastSeen + 0.5) && gridIndex(grid, edge.s) < firstSeen + reach + 0.5);
  const beforeK = before === undefined ? null : gridIndex(grid, before.s);
  const afterK = after === undefined ? null : gridIndex(grid, after.s);
  const middle = (firstSeen + lastSeen) / 2;
  const darkFrom = beforeK ?? Math.max(firstSeen - 2, gridIndex(grid, frame.sFrom));
  const paleTo = afterK ?? Math.min(lastSeen + 2, gridIndex(grid, frame.sTo));
  const darkContrast = contrastBeside(field, frame, grid, darkFrom, Math.min(middle, darkFrom + Math.max(2, steps / 4)));
  const paleContrast = contrastBeside(field, frame, grid, Math.max(middle, paleTo - Math.max(2, steps / 4)), paleTo);
  const darkEnd = beforeK !== null && darkContrast > leastContrast;
  const paleEnd = afterK !== null && paleContrast < -leastContrast;
  const phase = (k: number) => Math.abs(k - Math.round(k));
  const common = { darkEnd, paleEnd, darkContrast, paleContrast };
  if (darkEnd && paleEnd) {
    const between = Math.round(afterK) - Math.round(beforeK);
    const startK = between === steps ? Math.round(beforeK) : Math.abs(darkContrast) > Math.abs(paleContrast) ? Math.round(beforeK) : Math.round(afterK) - steps;
    return { ...common, startK, phaseError: Math.max(phase(beforeK), phase(afterK)), stepsBetweenEnds: between };
  }
  if (darkEnd) return { ...common, startK: Math.round(beforeK), phaseError: phase(beforeK), stepsBetweenEnds: null };
  if (paleEnd) return { ...common, startK: Math.round(afterK) - steps, phaseError: phase(afterK), stepsBetweenEnds: null };
  // No end stands out: centre the seen boundaries, as a guess to be asked about.
  return { ...common, startK: Math.round(middle - steps / 2), phaseError: 0.5, stepsBetweenEnds: null };
}
