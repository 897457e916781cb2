// Draws of the light over a bed in one world, given what was measured. What is unknown is drawn as if nothing had been
// measured, and then moved by as much as the measured places ask.
import { choleskyFactor, choleskySolve } from "#shared/statistics/cholesky.ts";
import { levelSigma, partVariance, type Lit, type World } from "./bed-worlds.ts";

/** The remainder is drawn on a grid with so many places to a side, and interpolated. */
const finest = 14;
const leastPivot = 1e-6;

interface Given {
  readonly world: World;
  readonly known: readonly Lit[];
  readonly seen: readonly Lit[];
  /** Cholesky factor of the measured places' covariance. */
  readonly factor: Float64Array;
  /** What was measured, less the mean before [stops]. */
  readonly right: readonly number[];
  /** Standard uncertainty of each measured place [stops]. */
  readonly sigmas: readonly number[];
}

/** What a place is made of: coefficients of the unknowns, and where it lies on the grid of the remainder. */
interface Row {
  readonly fall: number;
  readonly across: number;
  readonly down: number;
  readonly parts: readonly number[];
  readonly corner: number;
  readonly weights: readonly [number, number, number, number];
}

/**
 * Makes draws of the light at the places of a bed that are seen [stops], any zero, given normal numbers.
 * Source: RasmussenWilliams2006; a draw moved by its own misfit, from memory (geostatistics).
 */
export function drawerOf(given: Given): (normal: () => number) => Float64Array {
  const { world, factor, right, sigmas } = given;
  const { share, rest, slopeSigma, partCount } = world;
  const [known, seen] = [given.known.map(rowOf), given.seen.map(rowOf)];
  const root = rootOf(rest.reach);
  const pull = pullOfRest(given);
  const partSigma = Math.sqrt(partVariance(world));
  const field = new Float64Array(finest ** 2);
  const values = new Float64Array(seen.length);
  return (normal) => {
    const drawn = {
      level: levelSigma * normal(),
      share: share.sigma * normal(),
      across: slopeSigma * normal(),
      down: slopeSigma * normal(),
      parts: Float64Array.from({ length: partCount }, () => partSigma * normal()),
    };
    drawField(field, root, rest.sigma, normal);
    const off = known.map(
      (row, k) => right[k]! - drawn.level - valueAt(row, drawn) - restAt(field, row) - sigmas[k]! * normal(),
    );
    const moves = choleskySolve(factor, off);
    moves.forEach((move, k) => {
      const row = known[k]!;
      drawn.share += share.sigma ** 2 * row.fall * move;
      drawn.across += slopeSigma ** 2 * row.across * move;
      drawn.down += slopeSigma ** 2 * row.down * move;
      row.parts.forEach((part, j) => (drawn.parts[j]! += partSigma ** 2 * part * move));
      for (let i = 0; i < field.length; i++) field[i]! += pull[k]![i]! * move;
    });
    const whole = { ...drawn, share: drawn.share + share.mean };
    for (let i = 0; i < values.length; i++) values[i] = valueAt(seen[i]!, whole) + restAt(field, seen[i]!);
    return values;
  };
}

function valueAt(
  row: Row,
  drawn: { readonly share: number; readonly across: number; readonly down: number; readonly parts: Float64Array },
): number {
  let value = drawn.share * row.fall + drawn.across * row.across + drawn.down * row.down;
  for (let j = 0; j < row.parts.length; j++) value += drawn.parts[j]! * row.parts[j]!;
  return value;
}

function rowOf({ place, fall, parts }: Lit): Row {
  const [x, y] = [place.x * (finest - 1), place.y * (finest - 1)];
  const [column, row] = [Math.min(finest - 2, Math.floor(x)), Math.min(finest - 2, Math.floor(y))];
  const [right, below] = [x - column, y - row];
  return {
    fall,
    parts,
    across: place.x - 0.5,
    down: place.y - 0.5,
    corner: row * finest + column,
    weights: [(1 - right) * (1 - below), right * (1 - below), (1 - right) * below, right * below],
  };
}

function restAt(field: Float64Array, { corner, weights }: Row): number {
  return (
    weights[0] * field[corner]! +
    weights[1] * field[corner + 1]! +
    weights[2] * field[corner + finest]! +
    weights[3] * field[corner + finest + 1]!
  );
}

/** Root of the remainder's correlation along one side; across both sides it is the product of two of them. */
function rootOf(reach: number): Float64Array {
  const matrix = Float64Array.from({ length: finest ** 2 }, (_, i) => {
    const apart = ((i % finest) - Math.floor(i / finest)) / (finest - 1);
    return Math.exp(-(apart ** 2) / (2 * reach ** 2));
  });
  return choleskyFactor(matrix, finest, { leastPivot });
}

/** The remainder before anything was measured. */
function drawField(field: Float64Array, root: Float64Array, sigma: number, normal: () => number): void {
  const chances = Float64Array.from(field, normal);
  const half = new Float64Array(field.length);
  for (let i = 0; i < finest; i++) {
    for (let k = 0; k <= i; k++) {
      const share = sigma * root[i * finest + k]!;
      for (let j = 0; j < finest; j++) half[i * finest + j]! += share * chances[k * finest + j]!;
    }
  }
  for (let i = 0; i < finest; i++) {
    for (let j = 0; j < finest; j++) {
      let sum = 0;
      for (let k = 0; k <= j; k++) sum += half[i * finest + k]! * root[j * finest + k]!;
      field[i * finest + j] = sum;
    }
  }
}

/** How far each measured place moves the remainder on its grid. */
function pullOfRest({ world: { rest }, known }: Given): Float64Array[] {
  return known.map(({ place }) =>
    Float64Array.from({ length: finest ** 2 }, (_, i) => {
      const across = (i % finest) / (finest - 1) - place.x;
      const down = Math.floor(i / finest) / (finest - 1) - place.y;
      return rest.sigma ** 2 * Math.exp(-(across ** 2 + down ** 2) / (2 * rest.reach ** 2));
    }),
  );
}
