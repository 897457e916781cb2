// A time for a combination that was never tested: each lamp, support and coating makes prints faster or slower by a factor
// of its own. How far such factors reach is itself learned from the tests, averaged over everything that is plausible.
import { seededRandom } from "#shared/statistics/random.ts";
import { bisection } from "#shared/statistics/bisection.ts";
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import { choleskyFactor, choleskySolve, logDeterminantOf } from "#shared/statistics/cholesky.ts";

/** One tested combination: several tests of the same three are given as several rows. */
export interface LogSpeedTest {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  /** log10 of the seconds to the shoulder on bare coating, at the lamp's usual distance. */
  readonly logSeconds: number;
  /** Standard uncertainty of one test by itself, log10. */
  readonly sigma: number;
}

export interface LogSpeedPrediction {
  /** log10 of seconds: median and 95 % range for a further test of the combination. */
  readonly logSeconds: number;
  readonly lower: number;
  readonly upper: number;
  /** Tests that share the lamp, the support, the coating with the wanted combination. */
  readonly sharing: { readonly lamp: number; readonly support: number; readonly coating: number };
}

/** Spreads (standard deviations, log10) of one plausible world. */
interface Spreads {
  readonly lamp: number;
  readonly support: number;
  readonly coating: number;
  /** What a combination adds beyond its three parts. */
  readonly combination: number;
  /** One coating stroke, one day, one bottle to the next. */
  readonly repeat: number;
}

/**
 * What is thought of the spreads before any test: median and logarithmic standard deviation.
 * Lamps differ by factors, supports and coatings by fractions of a stop to a stop; common practice, no source.
 */
const priorSpreads: Readonly<Record<keyof Spreads, readonly [median: number, logSigma: number]>> = {
  lamp: [0.3, 0.6],
  support: [0.12, 0.6],
  coating: [0.12, 0.6],
  combination: [0.05, 0.6],
  repeat: [0.04, 0.5],
};

/** Blue prints under lamps take from half a minute to some hours; common practice, no source. */
const priorLogSeconds = { mean: 2.6, sigma: 0.8 };

/** Plausible worlds that are averaged; a fixed seed, so that the same tests give the same answer. */
const worldCount = 240;
const worldSeed = 731;

const worlds: readonly Spreads[] = drawWorlds();

function drawWorlds(): Spreads[] {
  const random = seededRandom(worldSeed);
  const draw = ([median, logSigma]: readonly [number, number]): number => median * Math.exp(logSigma * random.normal());
  return Array.from({ length: worldCount }, () => ({
    lamp: draw(priorSpreads.lamp),
    support: draw(priorSpreads.support),
    coating: draw(priorSpreads.coating),
    combination: draw(priorSpreads.combination),
    repeat: draw(priorSpreads.repeat),
  }));
}

/** Tests of one combination, taken together. */
interface Cell {
  readonly indices: readonly [lamp: number, support: number, coating: number];
  readonly key: string;
  readonly count: number;
  readonly mean: number;
  /** Mean of the tests' own variances. */
  readonly ownVariance: number;
  /** Sum of squared deviations from the mean. */
  readonly scatter: number;
}

/**
 * Predicts the time of a combination from tests of others, and of itself where there are any.
 * A linear mixed model of log10 seconds (lamp + support + coating + combination + repeat) whose effects are drawn towards
 * zero by their spreads; the spreads are averaged over plausible worlds, weighted by how well they explain the tests.
 *
 * @param tests of one channel; at least one
 * @param wanted ids of the combination; unknown ids are drawn from the spread of their kind
 * @returns null without tests
 * Valid: lamps, not the sun; one kind of process. Source: Henderson1975 (shrinkage of effects); averaging from memory.
 */
export function predictLogSpeed(
  tests: readonly LogSpeedTest[],
  wanted: Pick<LogSpeedTest, "lampId" | "supportId" | "coatingId">,
): LogSpeedPrediction | null {
  if (tests.length === 0) return null;
  const lamps = indexOf([wanted.lampId, ...tests.map((test) => test.lampId)]);
  const supports = indexOf([wanted.supportId, ...tests.map((test) => test.supportId)]);
  const coatings = indexOf([wanted.coatingId, ...tests.map((test) => test.coatingId)]);
  const cells = cellsOf(tests, (test) => [
    lamps.get(test.lampId)!,
    supports.get(test.supportId)!,
    coatings.get(test.coatingId)!,
  ]);
  const sizes = [lamps.size, supports.size, coatings.size] as const;
  const wantedIndices = [
    lamps.get(wanted.lampId)!,
    supports.get(wanted.supportId)!,
    coatings.get(wanted.coatingId)!,
  ] as const;

  const answers = worlds.map((spreads) => predictInWorld(cells, sizes, wantedIndices, spreads));
  const most = Math.max(...answers.map((answer) => answer.logLikelihood));
  const weighted = answers
    .map(({ mean, variance, logLikelihood }) => ({
      mean,
      sigma: Math.sqrt(variance),
      weight: Math.exp(logLikelihood - most),
    }))
    .filter((answer) => answer.weight > 1e-6);
  return {
    logSeconds: mixtureQuantile(weighted, 0.5),
    lower: mixtureQuantile(weighted, 0.025),
    upper: mixtureQuantile(weighted, 0.975),
    sharing: {
      lamp: tests.filter((test) => test.lampId === wanted.lampId).length,
      support: tests.filter((test) => test.supportId === wanted.supportId).length,
      coating: tests.filter((test) => test.coatingId === wanted.coatingId).length,
    },
  };
}

function indexOf(ids: readonly string[]): Map<string, number> {
  return new Map([...new Set(ids)].map((id, index) => [id, index]));
}

function cellsOf(tests: readonly LogSpeedTest[], indicesOf: (test: LogSpeedTest) => [number, number, number]): Cell[] {
  const groups = new Map<string, LogSpeedTest[]>();
  for (const test of tests) {
    const key = indicesOf(test).join(" ");
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [test]);
    else group.push(test);
  }
  return [...groups.entries()].map(([key, group]) => {
    const mean = group.reduce((sum, test) => sum + test.logSeconds, 0) / group.length;
    return {
      indices: indicesOf(group[0]!),
      key,
      count: group.length,
      mean,
      ownVariance: group.reduce((sum, test) => sum + test.sigma ** 2, 0) / group.length,
      scatter: group.reduce((sum, test) => sum + (test.logSeconds - mean) ** 2, 0),
    };
  });
}

/**
 * Mean and variance of a further test of the wanted combination, and the log likelihood of all tests, in one world.
 * Unknowns: the general level, then the effects of lamps, supports, coatings, solved by their normal equations.
 */
function predictInWorld(
  cells: readonly Cell[],
  sizes: readonly [number, number, number],
  wanted: readonly [number, number, number],
  spreads: Spreads,
): { mean: number; variance: number; logLikelihood: number } {
  const starts = [1, 1 + sizes[0], 1 + sizes[0] + sizes[1]] as const;
  const unknowns = 1 + sizes[0] + sizes[1] + sizes[2];
  const precision = new Float64Array(unknowns * unknowns);
  const right = new Float64Array(unknowns);
  const priorVariances = [
    priorLogSeconds.sigma ** 2,
    ...Array.from({ length: sizes[0] }, () => spreads.lamp ** 2),
    ...Array.from({ length: sizes[1] }, () => spreads.support ** 2),
    ...Array.from({ length: sizes[2] }, () => spreads.coating ** 2),
  ];
  priorVariances.forEach((variance, i) => {
    precision[i * unknowns + i] = 1 / variance;
  });
  let logLikelihood = -0.5 * priorVariances.reduce((sum, variance) => sum + Math.log(variance), 0);
  let squares = 0;
  for (const cell of cells) {
    const one = spreads.repeat ** 2 + cell.ownVariance;
    const variance = spreads.combination ** 2 + one / cell.count;
    const y = cell.mean - priorLogSeconds.mean;
    const at = [0, starts[0] + cell.indices[0], starts[1] + cell.indices[1], starts[2] + cell.indices[2]];
    for (const i of at) {
      right[i]! += y / variance;
      for (const j of at) precision[i * unknowns + j]! += 1 / variance;
    }
    squares += (y * y) / variance;
    logLikelihood -= 0.5 * (Math.log(variance) + (cell.count - 1) * Math.log(one) + cell.scatter / one);
  }
  const factor = choleskyFactor(precision, unknowns);
  const effects = choleskySolve(factor, right);
  logLikelihood -= 0.5 * logDeterminantOf(factor, unknowns);
  logLikelihood -= 0.5 * (squares - effects.reduce((sum, effect, i) => sum + effect * right[i]!, 0));

  const row = new Float64Array(unknowns);
  for (const i of [0, starts[0] + wanted[0], starts[1] + wanted[1], starts[2] + wanted[2]]) row[i] = 1;
  const through = choleskySolve(factor, row);
  let mean = priorLogSeconds.mean;
  let variance = 0;
  for (let i = 0; i < unknowns; i++) {
    mean += row[i]! * effects[i]!;
    variance += row[i]! * through[i]!;
  }
  const own = cells.find((cell) => cell.key === wanted.join(" "));
  const typicalOwnVariance = cells.reduce((sum, cell) => sum + cell.ownVariance, 0) / cells.length;
  if (own === undefined)
    return {
      mean,
      variance: variance + spreads.combination ** 2 + spreads.repeat ** 2 + typicalOwnVariance,
      logLikelihood,
    };
  // The combination's own term, given its tests: the share of their deviation that the combination explains.
  const cellVariance = (spreads.repeat ** 2 + own.ownVariance) / own.count;
  const kept = spreads.combination ** 2 / (spreads.combination ** 2 + cellVariance);
  return {
    mean: mean + kept * (own.mean - mean),
    variance: (1 - kept) ** 2 * variance + kept * cellVariance + spreads.repeat ** 2 + own.ownVariance,
    logLikelihood,
  };
}

/** Quantile of a mixture of normal distributions, by bisection. */
function mixtureQuantile(
  parts: readonly { readonly mean: number; readonly sigma: number; readonly weight: number }[],
  probability: number,
): number {
  const total = parts.reduce((sum, part) => sum + part.weight, 0);
  const shareBelow = (at: number) =>
    parts.reduce((sum, part) => sum + part.weight * normalShareBelow((at - part.mean) / part.sigma), 0) / total;
  return bisection({
    low: Math.min(...parts.map((part) => part.mean - 8 * part.sigma)),
    high: Math.max(...parts.map((part) => part.mean + 8 * part.sigma)),
    isBelow: (at) => shareBelow(at) < probability,
  }).middle;
}
