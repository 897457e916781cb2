// The next print's range by the posterior itself, summed over a grid: what the program's range is held against.
import { bisection } from "#shared/statistics/bisection.ts";
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import { usualPrintScatter } from "#shared/studio-model/usual-print-scatter.ts";

/** One test of the combination: log time, and its own standard uncertainty [log10]. */
export interface ToldTest {
  readonly logSeconds: number;
  readonly sigma: number;
}

/** Scatters that are summed over, in logarithmic standard deviations from the median. */
const places = Array.from({ length: 61 }, (_, i) => -3 + 0.1 * i);

/**
 * 95 % range of the next print where prints scatter normally, by a size that is drawn as the program supposes it, and
 * nothing else is known of the combination's time: no rule that knows as much can hold as often with narrower ranges
 * over all sizes together. For one size alone it may hold more or less.
 * @param tabletSigma of what all tests have in common [log10]
 * Source: Bayes' theorem with normal errors.
 */
export function bestNextPrint(tests: readonly ToldTest[], tabletSigma: number): { lower: number; upper: number } {
  const worlds = places.map((z) => {
    const scatter = usualPrintScatter.medianLogH * Math.exp(usualPrintScatter.logSigma * z);
    const precisions = tests.map(({ sigma }) => 1 / (sigma ** 2 + scatter ** 2));
    const total = precisions.reduce((sum, value) => sum + value, 0);
    const mean = tests.reduce((sum, { logSeconds }, i) => sum + precisions[i]! * logSeconds, 0) / total;
    const logWeight = tests.reduce(
      (sum, { logSeconds }, i) => sum + (Math.log(precisions[i]!) - precisions[i]! * (logSeconds - mean) ** 2) / 2,
      -(z * z) / 2 - Math.log(total) / 2,
    );
    return { mean, sigma: Math.sqrt(1 / total + tabletSigma ** 2 + scatter ** 2), logWeight };
  });
  const most = Math.max(...worlds.map(({ logWeight }) => logWeight));
  const weights = worlds.map(({ logWeight }) => Math.exp(logWeight - most));
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  const below = (at: number) =>
    worlds.reduce((sum, { mean, sigma }, i) => sum + weights[i]! * normalShareBelow((at - mean) / sigma), 0) / all;
  const reach = Math.max(...worlds.map(({ mean, sigma }) => Math.abs(mean) + 6 * sigma));
  const at = (share: number) =>
    bisection({ low: -reach, high: reach, isBelow: (x) => below(x) < share, halvings: 40 }).middle;
  return { lower: at(0.025), upper: at(0.975) };
}
