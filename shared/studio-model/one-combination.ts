// Tests of one combination held against each other, by summing over a grid: one level, perhaps one step of it, prints
// that scatter,
// and blunders. Nothing is taken for normal here, so that two tests that contradict each other leave both of them
// possible.

/** A test of the combination: bare log seconds [log10] with its own standard uncertainty. */
export interface LevelTest {
  readonly logSeconds: number;
  readonly sigma: number;
}

/** What the tests say of each other. Shares are of belief, 0-1. */
export interface LevelAccount {
  /** All tests are of one level, and none is a blunder. */
  readonly alikeShare: number;
  /** By test: something changed just before it (0 for the first). */
  readonly changedBefore: readonly number[];
  /** By test: it is a blunder. */
  readonly blunders: readonly number[];
  /** Median of the level now, after any change [log10 of seconds]. */
  readonly logSeconds: number;
  /** The level now lies within a fifth of a stop of that. */
  readonly settledShare: number;
  /** Scatter from print to print, the mean of what is plausible [log10]. */
  readonly printSpread: number;
}

/** Scatter of prints before any of these tests [log10]: median and logarithmic spread. */
export interface Scatter {
  readonly median: number;
  readonly logSigma: number;
}

/** Before any test of a studio. common practice, no source */
export const usualScatter: Scatter = { median: 0.026, logSigma: 0.8 };
const scatterPlaces = [-2.4, -2, -1.6, -1.2, -0.8, -0.4, 0, 0.4, 0.8, 1.2, 1.6, 2, 2.4];
/** Tails that let a far test be chance: Student's t of four degrees of freedom. common practice, no source */
const tailDegrees = 4;
const tailHeight = 0.375;
const blunderShare = 0.02;
const blunderSpread = 0.3;
/** Chance of a change between two tests, and how far it reaches [log10]. common practice, no source */
const changeShare = 0.024;
const changeSpread = 0.15;
const settledWithin = 0.06;
const mostPoints = 160;
/** A likelihood this small beside the highest adds nothing that could be seen. */
const negligible = 1e-6;

/**
 * Holds tests of one combination against each other.
 * @param tests oldest first, at least one
 * @param scatter what is known of the scatter of prints beforehand
 * Source: BoxTiao1968 for blunders; HoetingEtAl1999 for the weighing of accounts.
 */
export function levelAccount(tests: readonly LevelTest[], scatter: Scatter = usualScatter): LevelAccount {
  const count = tests.length;
  const worlds = scatterPlaces.map((z) => {
    const print = scatter.median * Math.exp(scatter.logSigma * z);
    return { print, logPrior: -(z * z) / 2, grid: gridFor(tests, print) };
  });
  const logs = worlds.map(({ print, grid, logPrior }) => ({ print, ...sumsOf(tests, print, grid), logPrior, grid }));
  const most = Math.max(...logs.map(({ logTop, logPrior }) => logTop + logPrior));
  let total = 0;
  let alike = 0;
  let spread = 0;
  const changedBefore = new Array<number>(count).fill(0);
  const blunders = new Array<number>(count).fill(0);
  const places: { at: number; weight: number }[] = [];
  for (const world of logs) {
    const scale = Math.exp(world.logTop + world.logPrior - most);
    total += scale * world.total;
    alike += scale * world.alike;
    spread += scale * world.total * world.print;
    world.changed.forEach((value, i) => (changedBefore[i]! += scale * value));
    world.blunder.forEach((value, i) => (blunders[i]! += scale * value));
    world.now.forEach((value, g) => places.push({ at: world.grid.first + g * world.grid.step, weight: scale * value }));
  }
  places.sort((a, b) => a.at - b.at);
  const all = places.reduce((sum, { weight }) => sum + weight, 0);
  let below = 0;
  const middle = places.find(({ weight }) => (below += weight) >= all / 2)?.at ?? 0;
  const settled = places.reduce(
    (sum, { at, weight }) => sum + (Math.abs(at - middle) <= settledWithin ? weight : 0),
    0,
  );
  return {
    alikeShare: alike / total,
    changedBefore: changedBefore.map((value) => value / total),
    blunders: blunders.map((value) => value / total),
    logSeconds: middle,
    settledShare: settled / all,
    printSpread: spread / total,
  };
}

interface Grid {
  readonly first: number;
  readonly step: number;
  readonly points: number;
}

/** Points so close that the narrowest likelihood is met, over all that the tests make possible. */
function gridFor(tests: readonly LevelTest[], print: number): Grid {
  const narrow = Math.min(...tests.map(({ sigma }) => Math.hypot(sigma, print)));
  const wide = Math.max(...tests.map(({ sigma }) => Math.hypot(sigma, print)));
  const times = tests.map(({ logSeconds }) => logSeconds);
  const first = Math.min(...times) - 4 * wide;
  const reach = Math.max(...times) + 4 * wide - first;
  const points = Math.min(mostPoints, Math.ceil((reach / narrow) * Math.sqrt(tests.length)) + 1);
  return { first, step: reach / (points - 1), points };
}

/** Sums over the level in one world of scatter; all of them times exp(-logTop). */
function sumsOf(
  tests: readonly LevelTest[],
  print: number,
  { first, step, points }: Grid,
): { logTop: number; total: number; alike: number; changed: number[]; blunder: number[]; now: Float64Array } {
  const count = tests.length;
  const plain = new Float64Array(points);
  const before = [new Float64Array(points)];
  const shares = tests.map(({ logSeconds, sigma }) => {
    const variance = sigma * sigma + print * print;
    const wide = variance + blunderSpread ** 2;
    const [meantHeight, blunderHeight] = [
      ((1 - blunderShare) * tailHeight) / Math.sqrt(variance),
      blunderShare / Math.sqrt(2 * Math.PI * wide),
    ];
    const last = before.at(-1)!;
    const next = new Float64Array(points);
    const share = new Float64Array(points);
    for (let g = 0; g < points; g++) {
      const square = (logSeconds - first - g * step) ** 2;
      const tail = 1 + square / variance / tailDegrees;
      const meant = meantHeight / (tail * tail * Math.sqrt(tail));
      const blunder = blunderHeight * Math.exp(-square / wide / 2);
      next[g] = last[g]! + Math.log(meant + blunder);
      share[g] = blunder / (meant + blunder);
      plain[g]! += Math.log(meant);
    }
    before.push(next);
    return share;
  });
  const all = before[count]!;
  // The likelihood of each part is scaled by its own top, so that nothing overflows.
  const parts = tests.map((_, k) => ({ k, ...topsOf(before[k]!, all) }));
  const logTop = parts.reduce((most, { left, right }) => Math.max(most, left + right), -Infinity);
  const kernel = Float64Array.from(
    { length: points },
    (_, d) => (step * Math.exp(-0.5 * ((d * step) / changeSpread) ** 2)) / (changeSpread * Math.sqrt(2 * Math.PI)),
  );
  let total = 0;
  let alike = 0;
  const changed = new Array<number>(count).fill(0);
  const blunder = new Array<number>(count).fill(0);
  const now = new Float64Array(points);
  const unchanged = 1 - changeShare * (count - 1);
  for (let g = 0; g < points; g++) {
    const value = unchanged * step * Math.exp(all[g]! - logTop);
    total += value;
    alike += unchanged * step * Math.exp(plain[g]! - logTop);
    now[g]! += value;
    for (let i = 0; i < count; i++) blunder[i]! += value * shares[i]![g]!;
  }
  for (const { k, left, right } of parts) {
    if (k === 0 || left + right < logTop - 12) continue;
    const old = before[k]!.map((value) => Math.exp(value - left));
    const oldest = old.findIndex((value) => value > negligible);
    const newest = old.findLastIndex((value) => value > negligible);
    for (let g = 0; g < points; g++) {
      const here = Math.exp(all[g]! - before[k]![g]! - right);
      if (here < negligible) continue;
      let from = 0;
      for (let h = oldest; h <= newest; h++) from += old[h]! * kernel[Math.abs(h - g)]!;
      const value = changeShare * step * here * from * Math.exp(left + right - logTop);
      changed[k]! += value;
      total += value;
      now[g]! += value;
      for (let i = k; i < count; i++) blunder[i]! += value * shares[i]![g]!;
    }
  }
  return { logTop, total, alike, changed, blunder, now };
}

/** Tops of what the tests before a change say, and of what those after it say, of all that they say together. */
function topsOf(before: Float64Array, all: Float64Array): { left: number; right: number } {
  let [left, right] = [-Infinity, -Infinity];
  for (let g = 0; g < all.length; g++) {
    left = Math.max(left, before[g]!);
    right = Math.max(right, all[g]! - before[g]!);
  }
  return { left, right };
}
