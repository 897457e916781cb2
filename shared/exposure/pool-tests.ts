// Several tests of one combination, taken together.
import { studentT95 } from "#shared/statistics/student-t.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";

/** One test's answer: the log exposure of the shoulder without film, and its standard uncertainty. */
export interface PooledTest {
  readonly testId: string;
  /** log10 of seconds through clear air. */
  readonly logH: number;
  readonly sigmaLogH: number;
}

export interface Pooled {
  readonly logH: number;
  /** 95 % range. */
  readonly lowerLogH: number;
  readonly upperLogH: number;
  /** Standard deviation from test to test beyond their own uncertainties (fresh coating, humidity), log10. */
  readonly betweenLogH: number;
  /** Share (0-1) of each test in the answer, in the order given. */
  readonly weights: readonly number[];
  /** Tests further from the others than chance and the usual spread explain. */
  readonly oddTestIds: readonly string[];
  readonly sentence: string;
}

/** Repeats of one combination differ by about this much even when nothing changed: a seventh of a stop. Source: common practice, no source. */
const usualBetweenLogH = 0.045;
/** The usual spread counts like this many tests when the spread is judged from few. */
const usualWeight = 3;
/** Distance from the pooled value, in its standard deviations, that makes a test odd. */
const oddSigmas = 3;

/**
 * Pooled log exposure of the shoulder over tests of one lamp, support, coating and distance.
 * @param tests at least one
 * @throws RangeError without tests
 * Source: DerSimonianLaird1986 (random effects), the spread shrunk to the usual one.
 */
export function poolTests(tests: readonly PooledTest[]): Pooled {
  if (tests.length === 0) throw new RangeError("there is nothing to pool");
  const betweenSquared = betweenVariance(tests);
  const raw = tests.map((test) => 1 / (test.sigmaLogH ** 2 + betweenSquared));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  const weights = raw.map((weight) => weight / total);
  const logH = tests.reduce((sum, test, i) => sum + weights[i]! * test.logH, 0);
  const half = studentT95(tests.length - 1 + usualWeight + 1) * Math.sqrt(1 / total);
  // Each test is held against the others alone, so that it cannot hide behind its own weight.
  const oddTestIds = tests.length < 3 ? [] : tests.filter((test, i) => isOdd(test, tests.filter((_, k) => k !== i))).map((test) => test.testId);
  const between = Math.sqrt(betweenSquared);
  return {
    logH,
    lowerLogH: logH - half,
    upperLogH: logH + half,
    betweenLogH: between,
    weights,
    oddTestIds,
    sentence: tests.length === 1 ? "From one test; a repeat would show how much your coatings vary." : `From ${tests.length} tests together, which differ by about ${stopsFromLogH(spreadOf(tests)).toFixed(2)} stops from one another.`,
  };
}

function isOdd(test: PooledTest, others: readonly PooledTest[]): boolean {
  const variance = betweenVariance(others);
  const raw = others.map((other) => 1 / (other.sigmaLogH ** 2 + variance));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  const mean = others.reduce((sum, other, i) => sum + (raw[i]! / total) * other.logH, 0);
  return Math.abs(test.logH - mean) > oddSigmas * Math.sqrt(test.sigmaLogH ** 2 + variance + 1 / total);
}

function betweenVariance(tests: readonly PooledTest[]): number {
  if (tests.length < 2) return usualBetweenLogH ** 2;
  const weights = tests.map((test) => 1 / Math.max(test.sigmaLogH, 1e-4) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = tests.reduce((sum, test, i) => sum + weights[i]! * test.logH, 0) / total;
  const chiSquared = tests.reduce((sum, test, i) => sum + weights[i]! * (test.logH - mean) ** 2, 0);
  const squares = weights.reduce((sum, weight) => sum + weight ** 2, 0);
  const moment = Math.max(0, (chiSquared - (tests.length - 1)) / (total - squares / total));
  const freedom = tests.length - 1;
  return (moment * freedom + usualBetweenLogH ** 2 * usualWeight) / (freedom + usualWeight);
}

/** Plain standard deviation of the tests' values. */
function spreadOf(tests: readonly PooledTest[]): number {
  const mean = tests.reduce((sum, test) => sum + test.logH, 0) / tests.length;
  return Math.sqrt(tests.reduce((sum, test) => sum + (test.logH - mean) ** 2, 0) / (tests.length - 1));
}
