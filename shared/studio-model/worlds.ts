// Worlds that are weighed against each other: a lattice about the most likely one, as fine as the tests tell them
// apart.
import { solveSystem, type Solution } from "./solve.ts";
import { logPriorAt, spreadsAt, usualPlace, type Place } from "./spreads.ts";
import type { System } from "./system.ts";

export type Axis = keyof Place;

/** Where the lattice stands, and how far its points lie from each other. */
export interface Lattice {
  readonly centre: Place;
  readonly steps: Place;
}

export interface WeighedWorld {
  readonly place: Place;
  readonly solution: Solution;
  readonly logWeight: number;
}

/** Steps of the coarsest lattice, in logarithmic spreads of the quantity. */
const coarsest: Place = { print: 0.8, pair: 1.1, reach: 1.2 };
/** Places further out than this are not looked at. */
const furthest = 3.3;
/** A step is halved while likely worlds reach less than this share of it to each side. */
const leastReach = 0.45;
const finest = 0.1;
/**
 * A world is dropped when its weight falls below the most likely one's by this [natural logarithm]: wide worlds that
 * are unlikely alone make the ends of a range.
 */
const mostDrop = 4.6;
/** Beyond a world that has fallen by more than this share of that, no further one is looked at. */
const expandedShare = 0.5;
/** Of so many tests, worlds are weighed along each axis alone. */
export const manyTests = 300;

/** Worlds of one system by their place, each solved once. */
export type WorldAt = (place: Place) => WeighedWorld;

/**
 * @param logPrior of the account that the system belongs to
 * @param startAt values to begin from in a world; else every solution begins where the last one ended
 */
export function worldsOf(
  system: System,
  logPrior: number,
  startAt: (place: Place) => Float64Array | undefined = () => undefined,
): WorldAt {
  const known = new Map<string, WeighedWorld>();
  let values: Float64Array | undefined;
  // What new tests do to the values is much the same in all worlds.
  let shift: Float64Array | undefined;
  const startFor = (place: Place): Float64Array | undefined => {
    const start = startAt(place);
    return start === undefined || shift === undefined ? start : start.map((value, i) => value + shift![i]!);
  };
  return (place) => {
    const key = [place.print, place.pair, place.reach].map((z) => Math.round(z * 1000)).join(" ");
    let world = known.get(key);
    if (world === undefined) {
      const start = startFor(place);
      const solution = solveSystem(system, spreadsAt(place), { start: start ?? values });
      values = solution.values;
      if (start !== undefined) shift ??= values.map((value, i) => value - start[i]!);
      world = { place, solution, logWeight: logPrior + logPriorAt(place) + solution.logEvidence };
      known.set(key, world);
    }
    return world;
  };
}

/** The lattice about the most likely world. */
export function latticeOf(worldAt: WorldAt, axes: readonly Axis[], begin: Lattice | null): Lattice {
  let centre = begin?.centre ?? usualPlace;
  let steps = begin?.steps ?? coarsest;
  for (let isMoving = true; isMoving;) {
    isMoving = false;
    for (const axis of axes) {
      const [below, here, above] = [-1, 0, 1].map((count) => worldAt(beside(centre, axis, count * steps[axis])));
      const best = above!.logWeight > below!.logWeight ? above! : below!;
      if (best.logWeight > here!.logWeight && Math.abs(best.place[axis]) < furthest) {
        centre = best.place;
        isMoving = true;
        continue;
      }
      const drop = here!.logWeight - (below!.logWeight + above!.logWeight) / 2;
      if (Math.sqrt(1 / (2 * drop)) >= leastReach || axis === "reach" || steps[axis] / 2 < finest) continue;
      steps = { ...steps, [axis]: steps[axis] / 2 };
      isMoving = true;
    }
  }
  return { centre, steps };
}

/** Every world of the lattice that deserves a weight, beginning at its centre. */
export function likelyWorlds(worldAt: WorldAt, axes: readonly Axis[], { centre, steps }: Lattice): WeighedWorld[] {
  const first = worldAt(centre);
  const isCrossOnly = first.solution.weights.length > manyTests;
  const kept: WeighedWorld[] = [];
  const queue: { world: WeighedWorld; from: Axis | null }[] = [{ world: first, from: null }];
  const seen = new Set([first]);
  while (queue.length > 0) {
    const { world, from } = queue.shift()!;
    const drop = first.logWeight - world.logWeight;
    if (drop > mostDrop) continue;
    kept.push(world);
    if (drop > expandedShare * mostDrop) continue;
    for (const axis of isCrossOnly && from !== null ? [from] : axes) {
      for (const step of [-steps[axis], steps[axis]]) {
        const place = beside(world.place, axis, step);
        if (Math.abs(place[axis]) > furthest) continue;
        const next = worldAt(place);
        if (seen.has(next)) continue;
        seen.add(next);
        queue.push({ world: next, from: axis });
      }
    }
  }
  return kept;
}

function beside(place: Place, axis: Axis, step: number): Place {
  return { ...place, [axis]: place[axis] + step };
}
