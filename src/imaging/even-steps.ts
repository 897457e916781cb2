// Within a step the tone is even. Marks whose steps hold parts of their neighbours are moved until their steps are
// even: each corner along the strip, and the strip's middle, which marks place badly (a little more height at one end
// of a thin strip is another perspective). No boundary need be recognised as one.
// Numbers: common practice, no source (rendered scenes with corners moved by 0.3 to 1.2 % of the length).
import { boxMarginShare } from "#shared/limits.ts";
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { valueAt, type Field } from "./find/smoothed-field.ts";

/** Places looked at along and across the middle of a step: roughly at first, then finely. */
const roughly = { along: 3, across: 3 } as const;
const finely = { along: 5, across: 7 } as const;
/** A step's tone scatters by so much at least (log10). */
const leastScatter = 0.012;
/** Independent looks that a step's scatter is worth: neighbouring ones see the same grain. */
const freedom = 6;
/** Ends are tried so many standard deviations of a mark off, ... */
const triedSigmas = [-1.8, -0.9, 0, 0.9, 1.8] as const;
/** ... the middle up to as many of its own, but no further than so many steps, so many steps apart. */
const mostMiddle = { sigmas: 1.8, steps: 2.4, apart: 0.3 } as const;
/** Then everything in halved steps, each looked at so many times. */
const halvings = 4;
const repeats = 2;
/** Steps are clearly more even when their scatter is less likely by this factor (natural logarithm). */
const clearlyMoreEven = 6;

/** Moves in steps: of each corner along the strip, in the order of the corners, and of the strip's middle. */
type Moves = readonly [number, number, number, number, number];
const unmoved: Moves = [0, 0, 0, 0, 0];
/** A step further at either end, or in the middle, the steps may be as even. */
const wholeSteps: readonly Moves[] = [-1, 1].flatMap((by): Moves[] => [
  [0, 0, 0, 0, by],
  [by, by, by, by, 0],
  [by, 0, 0, by, 0],
  [0, by, by, 0, 0],
]);
/** Boundaries this far apart, in steps, are not the same. */
const otherStep = 0.5;

interface Evened {
  readonly corners: Corners;
  /** How far a boundary lies from its mark at most. */
  readonly movedSteps: number;
  /** False where the steps would be about as even a whole step further along. */
  readonly isAlone: boolean;
}

/**
 * Marked corners moved until each step is as even as can be.
 * @param field blueness, or darkness for grey pictures
 * @param marked small pixels, the strip's first end at the first and the last of them
 * @param places.start corners to begin from, the marks when absent
 * @param places.endSteps how well each corner is known along the strip, and the middle, in steps: standard deviations
 * @returns null where that is not clearly more even than the marks
 */
export function evenedCorners(
  field: Field,
  marked: Corners,
  places: {
    readonly steps: number;
    readonly start?: Corners;
    readonly endSteps: number;
    readonly middleSteps: number;
  },
): Evened | null {
  const { steps, start = marked, endSteps: end, middleSteps: middle } = places;
  const sigmas: Moves = [end, end, end, end, middle];
  const costOf = (moves: Moves, looks: Looks): number =>
    unevenness(field, moved(start, moves, steps), { steps, looks }) +
    moves.reduce((sum, move, i) => sum + (move / sigmas[i]!) ** 2 / 2, 0);
  const sought = (from: Moves): { moves: Moves; cost: number } => {
    let best = { moves: from, cost: costOf(from, finely) };
    let by = ((triedSigmas[1] - triedSigmas[0]) * end) / 2;
    for (let round = 0; round < halvings * repeats; round++) {
      for (let i = 0; i < from.length; i++)
        for (const way of [-by, by]) {
          const moves = best.moves.map((move, k) => (k === i ? move + way : move)) as unknown as Moves;
          const cost = costOf(moves, finely);
          if (cost < best.cost) best = { moves, cost };
        }
      if (round % repeats === repeats - 1) by /= 2;
    }
    return best;
  };
  const best = sought(lowest(roughMoves(end, middle), (moves) => costOf(moves, roughly)));
  if (unevenness(field, marked, { steps, looks: finely }) - best.cost < clearlyMoreEven) return null;
  const corners = moved(start, best.moves, steps);
  const isRival = (step: Moves): boolean => {
    const other = sought(best.moves.map((move, i) => move + step[i]!) as unknown as Moves);
    return (
      other.cost - best.cost < clearlyMoreEven / 2 &&
      furthestBoundary(corners, moved(start, other.moves, steps), steps) > otherStep
    );
  };
  return { corners, movedSteps: furthestBoundary(marked, corners, steps), isAlone: !wholeSteps.some(isRival) };
}

/** How far the boundaries of one quad lie from another's at most, in steps, at its corners and on its middle line. */
function furthestBoundary(marked: Corners, other: Corners, steps: number): number {
  const back = inverseHomography(homographyFromCorners(marked));
  const forth = homographyFromCorners(other);
  let most = 0;
  for (let k = 0; k <= steps; k++)
    for (const v of [boxMarginShare, 0.5, 1 - boxMarginShare]) {
      const [u] = mapPoint(back, ...mapPoint(forth, k / steps, v));
      most = Math.max(most, Math.abs(u * steps - k));
    }
  return most;
}

/** Moves of both ends, of a shear, and of the middle. */
function roughMoves(end: number, middle: number): Moves[] {
  const reach = Math.min(mostMiddle.sigmas * middle, mostMiddle.steps);
  const each = Math.ceil(reach / mostMiddle.apart);
  const middles = Array.from({ length: 2 * each + 1 }, (_, i) => (reach * (i - each)) / each);
  const ends = triedSigmas.map((sigmas) => sigmas * end);
  return ends.flatMap((first) =>
    ends.flatMap((last) =>
      ends.flatMap((shear) => middles.map((m): Moves => [first + shear, last + shear, last - shear, first - shear, m])),
    ),
  );
}

function lowest(all: readonly Moves[], costOf: (moves: Moves) => number): Moves {
  let [best, least] = [unmoved, costOf(unmoved)];
  for (const moves of all) {
    const cost = costOf(moves);
    if (cost < least) [best, least] = [moves, cost];
  }
  return best;
}

/** Corners moved along the strip's long edges; its middle by heights that change against each other. */
function moved([a, b, c, d]: Corners, [p, q, r, s, middle]: Moves, steps: number): Corners {
  const along = ([x, y]: PointPx, from: PointPx, to: PointPx, by: number): PointPx => [
    x + ((to[0] - from[0]) * by) / steps,
    y + ((to[1] - from[1]) * by) / steps,
  ];
  const ends = [along(a, a, b, p), along(b, a, b, q), along(c, d, c, r), along(d, d, c, s)] as const;
  // The middle lies at rho / (1 + rho) of the length, rho the ratio of the heights at the ends.
  const grown = Math.exp((2 * middle) / steps);
  const about = (one: PointPx, other: PointPx, factor: number): PointPx => [
    (one[0] + other[0]) / 2 + ((one[0] - other[0]) * factor) / 2,
    (one[1] + other[1]) / 2 + ((one[1] - other[1]) * factor) / 2,
  ];
  return [
    about(ends[0], ends[3], grown),
    about(ends[1], ends[2], 1 / grown),
    about(ends[2], ends[1], 1 / grown),
    about(ends[3], ends[0], grown),
  ];
}

type Looks = { readonly along: number; readonly across: number };

/** What the scatter of tone inside the steps says, as a negative logarithm. */
function unevenness(
  field: Field,
  corners: Corners,
  { steps, looks }: { readonly steps: number; readonly looks: Looks },
): number {
  const map = homographyFromCorners(corners);
  const inside = 1 - 2 * boxMarginShare;
  const count = looks.along * looks.across;
  let cost = 0;
  for (let k = 0; k < steps; k++) {
    let [sum, squares] = [0, 0];
    for (let i = 0; i < looks.along; i++)
      for (let j = 0; j < looks.across; j++) {
        const u = (k + boxMarginShare + (inside * i) / (looks.along - 1)) / steps;
        const v = boxMarginShare + (inside * j) / (looks.across - 1);
        const tone = valueAt(field, ...mapPoint(map, u, v));
        sum += tone;
        squares += tone * tone;
      }
    const variance = Math.max(0, squares / count - (sum / count) ** 2);
    cost += (freedom / 2) * Math.log(variance + leastScatter ** 2);
  }
  return cost;
}
