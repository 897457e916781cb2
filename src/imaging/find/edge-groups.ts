// Groups of edges that could be the step boundaries of one strip: parallel, alike in length, evenly spaced, all falling
// the same way.
import type { Segment } from "./edge-segments.ts";
import { valueAt, type Field } from "./smoothed-field.ts";

export interface EdgeGroup {
  readonly members: readonly Segment[];
  /** Unit vector from step 1 (dark) to the last step (pale). */
  readonly alongX: number;
  readonly alongY: number;
  /** Typical length of a boundary: the strip's height [small px]. */
  readonly heightPx: number;
  /** Spacing of the boundaries [small px]. */
  readonly pitchPx: number;
  readonly score: number;
}

/** Boundaries of one strip agree within this angle, more under tilt: cosine of 14 degrees. */
const parallel = Math.cos((14 * Math.PI) / 180);
/** Seeds tried. */
const mostSeeds = 300;
/** Fewest evenly spaced boundaries that suggest a strip. */
const fewestBoundaries = 2;
/** How far a boundary may lie from the even grid, as a share of the pitch. */
const gridSlack = 0.2;
/** Groups handed on for a closer look. */
const mostGroups = 10;
/** A step is at least this wide [small px]. */
const leastPitchPx = 4;

interface Placed {
  readonly segment: Segment;
  readonly along: number;
}

/**
 * The field of a strip stays lower beyond a boundary: this far from it, share of the pitch, by at least so much
 * (log10).
 */
const lastingShare = 0.35;
const leastLastingFall = 0.006;
/** A group of whose edges fewer than this share last is worth little. */
const leastLasting = 0.5;
const gridWorth = 0.2;
/** Places along a boundary where that is looked at, shares of its length from the middle. */
const lastingPlaces = [-0.25, 0, 0.25];

/** The likeliest groups of a field's edges, best first. */
export function edgeGroups(segments: readonly Segment[], field: Field): EdgeGroup[] {
  const groups: EdgeGroup[] = [];
  const used = new Map<Segment, number>();
  for (const seed of segments.slice(0, mostSeeds)) {
    if ((used.get(seed) ?? 0) >= 2) continue;
    const near = likeSeed(segments, seed);
    if (near.length < fewestBoundaries) continue;
    const best = bestGrid(near, seed);
    if (best === null) continue;
    for (const member of best.members) used.set(member, (used.get(member) ?? 0) + 1);
    // The lines of a grid are more even than any strip, but beyond each the field is as it was before.
    groups.push({ ...best, score: best.score * (lastingFallShare(field, best) < leastLasting ? gridWorth : 1) });
  }
  return likeliestOnce(groups);
}

/** Edges that could bound the steps of the seed's strip: parallel, alike in length, beside it; in order along it. */
function likeSeed(segments: readonly Segment[], seed: Segment): Placed[] {
  const near: Placed[] = [];
  for (const segment of segments) {
    if (segment.acrossX * seed.acrossX + segment.acrossY * seed.acrossY < parallel) continue;
    if (segment.length < 0.3 * seed.length || segment.length > 3 * seed.length) continue;
    const dx = segment.x - seed.x;
    const dy = segment.y - seed.y;
    const along = dx * seed.acrossX + dy * seed.acrossY;
    const aside = Math.abs(-dx * seed.acrossY + dy * seed.acrossX);
    if (aside > 0.5 * Math.max(seed.length, segment.length) + 0.15 * Math.abs(along)) continue;
    near.push({ segment, along });
  }
  return near.sort((a, b) => a.along - b.along);
}

/** The best groups, each strip once, though many of its edges were seeds. */
function likeliestOnce(groups: EdgeGroup[]): EdgeGroup[] {
  groups.sort((a, b) => b.score - a.score);
  const kept: EdgeGroup[] = [];
  for (const group of groups) {
    const repeats = kept.some((other) => {
      const shared = group.members.filter((member) => other.members.includes(member)).length;
      return shared > 0.6 * group.members.length && Math.abs(Math.log(group.pitchPx / other.pitchPx)) < 0.15;
    });
    if (!repeats) kept.push(group);
    if (kept.length >= mostGroups) break;
  }
  return kept;
}

/** Share of a group's edges beyond which the field stays lower than it was before them. */
function lastingFallShare(field: Field, { members, pitchPx }: EdgeGroup): number {
  const reach = lastingShare * pitchPx;
  const lasting = members.filter(({ x, y, acrossX, acrossY, length }) => {
    let fall = 0;
    for (const place of lastingPlaces) {
      const [px, py] = [x - place * length * acrossY, y + place * length * acrossX];
      fall +=
        valueAt(field, px - reach * acrossX, py - reach * acrossY) -
        valueAt(field, px + reach * acrossX, py + reach * acrossY);
    }
    return fall > leastLastingFall * lastingPlaces.length;
  });
  return lasting.length / members.length;
}

/** The spacing that puts most boundaries on an even grid through the seed, without a gap of more than a few. */
function bestGrid(near: readonly Placed[], seed: Segment): EdgeGroup | null {
  let best: { score: number; pitch: number; members: Segment[] } | null = null;
  const at = near.findIndex((placed) => placed.segment === seed);
  const tried = new Set<number>();
  for (let i = Math.max(0, at - 4); i <= Math.min(near.length - 1, at + 4); i++) {
    for (let parts = 1; parts <= 3; parts++) {
      const pitch = Math.abs(near[i]!.along) / parts;
      if (pitch < leastPitchPx || pitch > 4 * seed.length || pitch * 40 < seed.length) continue;
      const key = Math.round(Math.log(pitch) * 30);
      if (tried.has(key)) continue;
      tried.add(key);
      const result = followGrid(near, at, pitch);
      // Finer grids catch more by chance, so boundaries between the wide ones must really be there.
      const score = result.score;
      if (best === null || score > best.score) best = { score, pitch: result.pitch, members: result.members };
    }
  }
  if (best === null || best.members.length < fewestBoundaries) return null;
  let ax = 0;
  let ay = 0;
  for (const member of best.members) {
    ax += member.acrossX * member.length;
    ay += member.acrossY * member.length;
  }
  const norm = Math.hypot(ax, ay);
  const lengths = best.members.map((member) => member.length).sort((a, b) => a - b);
  return {
    members: best.members,
    alongX: ax / norm,
    alongY: ay / norm,
    heightPx: lengths[Math.floor(lengths.length * 0.7)]!,
    pitchPx: best.pitch,
    score: best.score,
  };
}

/** Walks from the seed both ways, boundary by boundary, letting the pitch drift as perspective makes it. */
function followGrid(
  near: readonly Placed[],
  at: number,
  firstPitch: number,
): { score: number; pitch: number; members: Segment[] } {
  const members: Segment[] = [near[at]!.segment];
  let score = near[at]!.segment.length;
  let strays = 0;
  let pitchSum = 0;
  let pitchCount = 0;
  for (const direction of [1, -1]) {
    let pitch = firstPitch;
    let place = near[at]!.along;
    let missed = 0;
    let i = at + direction;
    while (missed < 3 && i >= 0 && i < near.length) {
      const target = place + direction * pitch * (missed + 1);
      // Boundaries before the target belong to no grid line; the longest one near the target does.
      let chosen: Placed | null = null;
      while (i >= 0 && i < near.length && direction * (near[i]!.along - target) <= gridSlack * pitch) {
        const candidate = near[i]!;
        if (Math.abs(candidate.along - target) <= gridSlack * pitch) {
          if (chosen === null || candidate.segment.length > chosen.segment.length) chosen = candidate;
        } else if (Math.abs(candidate.along - place) > gridSlack * pitch) strays += candidate.segment.length;
        i += direction;
      }
      if (chosen === null) {
        missed++;
        continue;
      }
      const step = (direction * (chosen.along - place)) / (missed + 1);
      pitch = 0.7 * pitch + 0.3 * step;
      pitchSum += step;
      pitchCount++;
      place = chosen.along;
      members.push(chosen.segment);
      score += chosen.segment.length * (missed === 0 ? 1 : 0.6);
      missed = 0;
    }
  }
  // Many boundaries matter more than long ones; lines off the grid speak against it.
  const meanLength = score / members.length;
  return {
    score: members.length * Math.sqrt(meanLength) - (0.6 * strays) / Math.sqrt(meanLength),
    pitch: pitchCount === 0 ? firstPitch : pitchSum / pitchCount,
    members,
  };
}
