// Several tests of one combination, taken together.
import { studentT95 } from "#shared/statistics/student-t.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";

export interface LogSecondsEstimate {
  /** log10 of seconds. */
  readonly logSeconds: number;
  /** 95 % range. */
  readonly lower: number;
  readonly upper: number;
  readonly sigma: number;
  /** For Student's factor. */
  readonly degreesOfFreedom: number;
}

/**
 * What is known beforehand of how prints made alike differ [standard deviation, log H]: brushing, paper, humidity, washing. Median of
 * a log-normal distribution and its natural-logarithmic spread, wide enough that the tests' own differences soon outvote it; half of all studios lie between 0.014 and 0.05.
 * common practice, no source
 */
const printScatter = { median: 0.026, logSigma: 0.9 };
/** Scatters at which the tests are weighed against that, in even steps of the logarithm over three of its spreads to each side. */
const scatterCount = 41;
const scatters = Array.from({ length: scatterCount }, (_, i) => {
  const z = (6 * i) / (scatterCount - 1) - 3;
  return { tau: printScatter.median * Math.exp(printScatter.logSigma * z), prior: Math.exp((-z * z) / 2) };
});
/** Chance below which the tests' disagreement is called one; z of the normal distribution for a cube-root chi-square. */
const disagreementZ = 2.33;

/**
 * The combination's log time from several tests: a weighted mean, averaged over how much prints may scatter from one to the next.
 * Few tests show that scatter badly, so what is usual counts beside what they show; a range from their differences alone would be
 * too narrow whenever they happen to agree. One test is taken with its own range, without scatter between prints.
 * @param estimates one or more of the same combination; only value, sigma and degrees of freedom are read
 * @throws RangeError when there is none
 * Source: HigginsThompsonSpiegelhalter2009 (random effects with a prior on the scatter); WilsonHilferty1931 for the chi-square's tail.
 */
export function poolLogSeconds(estimates: readonly LogSecondsEstimate[]): {
  estimate: LogSecondsEstimate;
  doTestsDisagree: boolean;
} {
  const [first] = estimates;
  if (first === undefined) throw new RangeError("poolLogSeconds needs at least one test.");
  if (estimates.length === 1) {
    const half = studentT95(first.degreesOfFreedom) * first.sigma;
    return {
      estimate: { ...first, lower: first.logSeconds - half, upper: first.logSeconds + half },
      doTestsDisagree: false,
    };
  }
  // A sigma found from few residuals counts as the wider normal one that has the same 95 % range.
  const tests = estimates.map(({ logSeconds, sigma, degreesOfFreedom }) => ({
    logSeconds,
    variance: ((sigma * studentT95(degreesOfFreedom)) / rangeSigmas) ** 2,
  }));
  const fits = scatters.map(({ tau, prior }) => ({ ...meanWith(tests, tau), prior }));
  const most = Math.max(...fits.map(({ logLikelihood }) => logLikelihood));
  const weights = fits.map(({ logLikelihood, prior }) => prior * Math.exp(logLikelihood - most));
  const total = sum(weights);
  const logSeconds = sum(fits.map(({ mean }, i) => weights[i]! * mean)) / total;
  // 1.96 standard deviations hold 95 % of such a mixture of normals very nearly, as they do of Student's t.
  const sigma = Math.sqrt(
    sum(fits.map(({ mean, variance }, i) => weights[i]! * (variance + (mean - logSeconds) ** 2))) / total,
  );
  return {
    estimate: {
      logSeconds,
      lower: logSeconds - rangeSigmas * sigma,
      upper: logSeconds + rangeSigmas * sigma,
      sigma,
      degreesOfFreedom: sum(estimates.map((each) => each.degreesOfFreedom)),
    },
    doTestsDisagree: doLogSecondsDisagree(tests),
  };
}

/**
 * Whether tests of one combination differ by more than their own uncertainty and the usual scatter of prints allow.
 * @param tests log10 of seconds, each with the variance of the normal distribution that has its 95 % range; fewer than two never disagree
 * Source: WilsonHilferty1931 for the chi-square's tail.
 */
export function doLogSecondsDisagree(
  tests: readonly { readonly logSeconds: number; readonly variance: number }[],
): boolean {
  if (tests.length < 2) return false;
  return chiSquareZ(meanWith(tests, printScatter.median).chiSquare, tests.length - 1) > disagreementZ;
}

/** Weighted mean for a scatter between prints, its variance, and how well the tests go with that scatter. */
function meanWith(
  tests: readonly { logSeconds: number; variance: number }[],
  tau: number,
): { mean: number; variance: number; chiSquare: number; logLikelihood: number } {
  const weights = tests.map((test) => 1 / (test.variance + tau * tau));
  const total = sum(weights);
  const mean = sum(tests.map((test, i) => weights[i]! * test.logSeconds)) / total;
  const chiSquare = sum(tests.map((test, i) => weights[i]! * (test.logSeconds - mean) ** 2));
  return {
    mean,
    variance: 1 / total,
    chiSquare,
    logLikelihood: (sum(weights.map(Math.log)) - Math.log(total) - chiSquare) / 2,
  };
}

function chiSquareZ(chiSquare: number, degrees: number): number {
  const ninth = 2 / (9 * degrees);
  return (Math.cbrt(chiSquare / degrees) - (1 - ninth)) / Math.sqrt(ninth);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
