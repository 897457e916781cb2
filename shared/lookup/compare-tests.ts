// Two tests side by side: what is faster, longer, steeper, darker, and whether the difference is real.
import type { Channel, Curve } from "#shared/schema/curve.ts";
import type { Comparison, TestPair, ValueWithRange } from "#shared/schema/comparisons.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { levelSigmas } from "#shared/curve/level-sigmas.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

interface Named {
  readonly id: string;
  readonly name: string;
}

export interface TestToCompare {
  readonly id: string;
  readonly name: string;
  readonly madeAt: string;
  readonly lamp: Named;
  readonly support: Named;
  readonly coating: Named;
  readonly film: (Named & { readonly baseDensity: number | null }) | null;
  readonly channel: Channel;
  /** True when the film lay over the coating during the test. */
  readonly filmInTest: boolean;
  readonly isUnderSun: boolean;
  /** True when the test reached its shoulder, so that it has a time. */
  readonly hasTime: boolean;
  readonly curve: Curve | null;
}

/** Below this difference (a fortieth of a stop of grey) no eye sees the blue change; from memory. */
const unseenDensity = 0.03;

/**
 * Pairwise comparison: speed ratio at the shoulder, and differences of log exposure range, average gradient, D-max and D-min,
 * each with a 95 % range and in words. Swapping two tests inverts their ratio.
 * @param tests at least two, in the order in which they shall be compared
 * Source: Iso6846 for the points compared; ranges by adding the two tests' variances (independent prints).
 */
export function compareTests(tests: readonly TestToCompare[]): Comparison {
  const pairs = tests.flatMap((first, i) => tests.slice(i + 1).map((second) => comparePair(first, second)));
  return {
    tests: tests.map((test) => ({
      id: test.id,
      label: test.name === "" ? `${test.support.name}, ${test.coating.name}, ${test.lamp.name}` : test.name,
      lampId: test.lamp.id,
      supportId: test.support.id,
      coatingId: test.coating.id,
      filmId: test.film?.id ?? null,
      channel: test.channel,
      curve: test.curve,
    })),
    pairs,
  };
}

/** A number of one test with its standard uncertainty. */
interface Measured {
  readonly value: number;
  readonly sigma: number;
}

function comparePair(first: TestToCompare, second: TestToCompare): TestPair {
  const warnings: Warning[] = [];
  const factor = (a: Curve, b: Curve): number => studentT95(a.degreesOfFreedom + b.degreesOfFreedom);
  const isSameChannel = first.channel === second.channel;
  if (!isSameChannel)
    warnings.push({
      code: "channels-differ",
      message:
        "One test was read in the red channel, the other by eye (visual): their densities cannot be compared. Set both to the same channel.",
    });
  if (first.isUnderSun !== second.isUnderSun || (first.isUnderSun && second.isUnderSun))
    warnings.push({
      code: "sun-changes",
      message:
        "The sun changed between the tests, so their times do not compare the materials; ranges and densities do.",
    });
  const [a, b] = [first.curve, second.curve];
  const difference = (read: (curve: Curve) => Measured | null): ValueWithRange | null => {
    if (a === null || b === null || !isSameChannel) return null;
    const [from, to] = [read(a), read(b)];
    if (from === null || to === null) return null;
    const value = to.value - from.value;
    const half = factor(a, b) * Math.hypot(from.sigma, to.sigma);
    return { value, lower: value - half, upper: value + half };
  };
  const logSpeed = isSameChannel ? logSpeedDifference(first, second, warnings) : null;
  const half = a === null || b === null || logSpeed === null ? 0 : factor(a, b) * logSpeed.sigma;
  const ratio = (value: number): ValueWithRange => ({
    value: 10 ** value,
    lower: 10 ** (value - half),
    upper: 10 ** (value + half),
  });
  const pair = {
    firstId: first.id,
    secondId: second.id,
    speedRatio: logSpeed === null ? null : ratio(logSpeed.value),
    timeRatio: logSpeed === null ? null : ratio(-logSpeed.value),
    logExposureRangeDifference: difference(exposureRange),
    averageGradientDifference: difference(gradient),
    dMaxDifference: difference((curve) => ({ value: curve.dMax, sigma: levelSigmas(curve).dMax })),
    dMinDifference: difference((curve) => ({ value: curve.dMin, sigma: levelSigmas(curve).dMin })),
  };
  return { ...pair, sentence: sentenceOf(first, second, pair), warnings };
}

/** log10 of the second's speed over the first's, at the shoulder of bare coating. */
function logSpeedDifference(first: TestToCompare, second: TestToCompare, warnings: Warning[]): Measured | null {
  const [from, to] = [speedPoint(first), speedPoint(second)];
  if (from === "film-unknown" || to === "film-unknown") {
    const bothAlike = first.filmInTest && second.filmInTest && first.film?.id === second.film?.id;
    if (!bothAlike) {
      warnings.push({
        code: "film-base-missing",
        message:
          "One test was made through a film whose base density is not known, so the times cannot be compared: enter the density under films.",
      });
      return null;
    }
    const [a, b] = [shoulderOf(first), shoulderOf(second)];
    return a === null || b === null ? null : { value: a.value - b.value, sigma: Math.hypot(a.sigma, b.sigma) };
  }
  if (from === null || to === null) {
    warnings.push({
      code: "no-time",
      message: "One of the tests did not reach its shoulder, so their speeds cannot be compared.",
    });
    return null;
  }
  return { value: from.value - to.value, sigma: Math.hypot(from.sigma, to.sigma) };
}

function shoulderOf(test: TestToCompare): Measured | null {
  const { curve } = test;
  if (!test.hasTime || curve === null || curve.points.shoulder === null || curve.sigmaLogH.shoulder === null)
    return null;
  return { value: curve.points.shoulder.logH, sigma: curve.sigmaLogH.shoulder };
}

/** log H at the shoulder through bare coating. */
function speedPoint(test: TestToCompare): Measured | null | "film-unknown" {
  const shoulder = shoulderOf(test);
  if (shoulder === null || !test.filmInTest) return shoulder;
  const density = test.film?.baseDensity ?? null;
  return density === null ? "film-unknown" : { ...shoulder, value: shoulder.value - density };
}

function exposureRange(curve: Curve): Measured | null {
  const { toe, shoulder } = curve.sigmaLogH;
  if (curve.logExposureRange === null || toe === null || shoulder === null) return null;
  return { value: curve.logExposureRange, sigma: Math.hypot(toe, shoulder) };
}

/** Gradient between toe and shoulder: its relative uncertainty is that of the range and of the density between them. */
function gradient(curve: Curve): Measured | null {
  const range = exposureRange(curve);
  if (range === null || curve.averageGradient === null || curve.points.toe === null || curve.points.shoulder === null)
    return null;
  const height = curve.points.shoulder.density - curve.points.toe.density;
  const levels = levelSigmas(curve);
  return {
    value: curve.averageGradient,
    sigma:
      Math.abs(curve.averageGradient) *
      Math.hypot(range.sigma / range.value, Math.hypot(levels.dMax, levels.dMin) / height),
  };
}

function sentenceOf(
  first: TestToCompare,
  second: TestToCompare,
  pair: Pick<TestPair, "timeRatio" | "dMaxDifference" | "logExposureRangeDifference">,
): string {
  const [one, other] = namesOf(first, second);
  const parts: string[] = [];
  const { timeRatio, dMaxDifference, logExposureRangeDifference } = pair;
  if (timeRatio !== null) {
    const { value, lower, upper } = timeRatio;
    parts.push(
      lower <= 1 && 1 <= upper
        ? `${other} needs about the same time as ${one} (${value.toFixed(2)} times, ${lower.toFixed(2)} to ${upper.toFixed(2)})`
        : `${other} needs ${value.toFixed(2)} times the time of ${one}, ${lower.toFixed(2)} to ${upper.toFixed(2)}`,
    );
  }
  if (dMaxDifference !== null) {
    const { value, lower, upper } = dMaxDifference;
    const isReal = lower > 0 || upper < 0;
    parts.push(
      !isReal || Math.abs(value) < unseenDensity
        ? "its maximum blue is the same"
        : `its maximum blue is ${value < 0 ? "weaker" : "stronger"} by ${Math.abs(value).toFixed(2)}`,
    );
  }
  if (
    logExposureRangeDifference !== null &&
    (logExposureRangeDifference.lower > 0 || logExposureRangeDifference.upper < 0)
  ) {
    const { value } = logExposureRangeDifference;
    parts.push(
      `it takes a negative ${Math.abs(value).toFixed(2)} ${value > 0 ? "longer" : "shorter"} in density range`,
    );
  }
  if (parts.length === 0)
    return `These two tests cannot be compared: ${first.curve === null || second.curve === null ? "one of them has no curve" : "neither time nor density is known for both"}.`;
  const sentence = parts.join("; ");
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** What tells the two apart: support, coating or lamp; else their names or dates. */
function namesOf(first: TestToCompare, second: TestToCompare): [string, string] {
  const differing = (["support", "coating", "lamp"] as const).filter((kind) => first[kind].id !== second[kind].id);
  const [only] = differing;
  if (only !== undefined && differing.length === 1) return [first[only].name, second[only].name];
  if (differing.length > 1)
    return [
      differing.map((kind) => first[kind].name).join(" with "),
      differing.map((kind) => second[kind].name).join(" with "),
    ];
  const [a, b] = [first.name, second.name];
  if (a !== "" && b !== "" && a !== b) return [`"${a}"`, `"${b}"`];
  return ["the first test", "the second"];
}
