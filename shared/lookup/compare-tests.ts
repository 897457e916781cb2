// Two tests side by side: what is faster, longer, steeper, darker, and whether the difference is real.
import type { Channel, Curve } from "#shared/schema/curve.ts";
import type { ComparedTest, TestPair, ValueWithRange } from "#shared/schema/comparisons.ts";
import { levelSigmas } from "#shared/curve/level-sigmas.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import type { ComparisonWarning } from "./lookup-facts.ts";

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
  /** As its lamp finds it. */
  readonly film: (Named & { readonly baseDensity: number | null; readonly baseSigmaDensity: number }) | null;
  readonly channel: Channel;
  /** True when the film lay over the coating during the test. */
  readonly filmInTest: boolean;
  readonly isUnderSun: boolean;
  /** True when the test reached its shoulder, so that it has a time. */
  readonly hasTime: boolean;
  readonly curve: Curve | null;
  /** What the camera may have done to the deepest step [density, standard uncertainty]; 0 where its tone is known. */
  readonly cameraSigma: number;
  /** Scale of its densities, as `densityScaleOf` names it. */
  readonly densityScale: string;
  /** True when a camera read it whose tone nothing tells. */
  readonly isToneUnknown: boolean;
  /** Scatter of log speed from print to print made alike, as far as it is known [log10]. */
  readonly printSpread: number;
}

/** Two tests held against each other, before that is put into words. */
export type ComparedPair = Omit<TestPair, "sentence" | "warnings" | "pooled"> & {
  readonly warnings: readonly ComparisonWarning[];
};

/**
 * Pairwise comparison: speed ratio at the shoulder, and differences of log exposure range, average gradient, D-max and
 * D-min, each with a 95 % range; no depths where they stand on different scales. Swapping two tests inverts their
 * ratio.
 * @param tests at least two, in the order in which they shall be compared
 * Source: Iso6846 for the points compared; ranges by adding the two tests' variances (independent prints).
 */
export function compareTests(tests: readonly TestToCompare[]): {
  readonly tests: readonly ComparedTest[];
  readonly pairs: readonly ComparedPair[];
} {
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
      bareSeconds: bareSeconds(test),
      curve: test.curve,
    })),
    pairs,
  };
}

/** Net D-max of coatings made alike [share, standard deviation]. common practice, no source */
const coatingScatter = 0.033;
/** Standard uncertainty of what the curve climbs beyond its last step, as a share of it. common practice, no source */
const climbDoubt = 0.5;
/** Slow waves of a coating do not average away along the steps at its top: their scatter counts whole. */
const reachDoubt = 1;

/** A number of one test with its standard uncertainty. */
interface Measured {
  readonly value: number;
  readonly sigma: number;
}

function comparePair(first: TestToCompare, second: TestToCompare): ComparedPair {
  const factor = (a: Curve, b: Curve): number => studentT95(a.degreesOfFreedom + b.degreesOfFreedom);
  const isSameChannel = first.channel === second.channel;
  const isSameScale = first.densityScale === second.densityScale;
  const [a, b] = [first.curve, second.curve];
  const difference = (read: (curve: Curve, cameraSigma: number) => Measured | null): ValueWithRange | null => {
    if (a === null || b === null || !isSameChannel) return null;
    const [from, to] = [read(a, first.cameraSigma), read(b, second.cameraSigma)];
    if (from === null || to === null) return null;
    const value = to.value - from.value;
    const half = factor(a, b) * Math.hypot(from.sigma, to.sigma);
    return { value, lower: value - half, upper: value + half };
  };
  const ofDepth: typeof difference = (read) => (isSameScale ? difference(read) : null);
  const speeds = isSameChannel ? logSpeedDifference(first, second) : null;
  const logSpeed = typeof speeds === "string" ? null : speeds;
  const half = a === null || b === null || logSpeed === null ? 0 : factor(a, b) * logSpeed.sigma;
  const ratio = (value: number): ValueWithRange => ({
    value: 10 ** value,
    lower: 10 ** (value - half),
    upper: 10 ** (value + half),
  });
  return {
    firstId: first.id,
    secondId: second.id,
    speedRatio: logSpeed === null ? null : ratio(logSpeed.value),
    timeRatio: logSpeed === null ? null : ratio(-logSpeed.value),
    logExposureRangeDifference: difference(exposureRange),
    averageGradientDifference: ofDepth(gradient),
    dMaxDifference: ofDepth(deepest),
    dMinDifference: ofDepth((curve) => ({ value: curve.dMin, sigma: levelSigmas(curve).dMin })),
    warnings: [...doubtsAbout(first, second), ...(typeof speeds === "string" ? [{ code: speeds }] : [])],
  };
}

/** What to keep in mind with two tests, beside what their speeds miss. */
function doubtsAbout(first: TestToCompare, second: TestToCompare): ComparisonWarning[] {
  const warnings: ComparisonWarning[] = [];
  if (first.channel !== second.channel) warnings.push({ code: "channels-differ" });
  else if (first.densityScale !== second.densityScale) warnings.push({ code: "scales-differ" });
  if (first.isUnderSun || second.isUnderSun) warnings.push({ code: "sun-changes" });
  if (first.isToneUnknown || second.isToneUnknown) warnings.push({ code: "tone-unchecked" });
  return warnings;
}

/**
 * log10 of the second's speed over the first's, at the shoulder of bare coating; or the code that says why it cannot be
 * told.
 */
function logSpeedDifference(first: TestToCompare, second: TestToCompare): Measured | "film-base-missing" | "no-time" {
  const [from, to] = [speedPoint(first), speedPoint(second)];
  const isUnknown = from === "film-unknown" || to === "film-unknown";
  const isSameFilm = first.filmInTest && second.filmInTest && first.film?.id === second.film?.id;
  if (isSameFilm && (isUnknown || first.lamp.id === second.lamp.id)) {
    // The film's density cancels, and so does what is not known of it.
    const [a, b] = [shoulderOf(first), shoulderOf(second)];
    return a === null || b === null ? "no-time" : { value: a.value - b.value, sigma: Math.hypot(a.sigma, b.sigma) };
  }
  if (from === "film-unknown" || to === "film-unknown") return "film-base-missing";
  if (from === null || to === null) return "no-time";
  return { value: from.value - to.value, sigma: Math.hypot(from.sigma, to.sigma) };
}

/**
 * Maximum of the curve as a property of the material: beside the band at the last step, what the curve still climbs
 * beyond it, how much two coatings made alike differ, and what the camera made of it.
 */
function deepest(curve: Curve, cameraSigma: number): Measured {
  const climb = Math.max(0, curve.dMax - (curve.samples.at(-1)?.density ?? curve.dMax));
  const net = Math.max(0, curve.dMax - curve.dMin);
  return {
    value: curve.dMax,
    sigma: Math.hypot(
      levelSigmas(curve).dMax,
      climbDoubt * climb,
      coatingScatter * net,
      curve.residualDensity * reachDoubt,
      cameraSigma,
    ),
  };
}

function shoulderOf(test: TestToCompare): Measured | null {
  const { curve } = test;
  if (!test.hasTime || curve === null || curve.points.shoulder === null || curve.sigmaLogH.shoulder === null)
    return null;
  // What the next print of the same would differ by belongs to a statement about materials.
  return { value: curve.points.shoulder.logH, sigma: Math.hypot(curve.sigmaLogH.shoulder, test.printSpread) };
}

function bareSeconds(test: TestToCompare): number | null {
  const point = speedPoint(test);
  return point === null || point === "film-unknown" || test.isUnderSun ? null : 10 ** point.value;
}

/** log H at the shoulder through bare coating. */
function speedPoint(test: TestToCompare): Measured | null | "film-unknown" {
  const shoulder = shoulderOf(test);
  if (shoulder === null || !test.filmInTest) return shoulder;
  const { baseDensity, baseSigmaDensity } = test.film ?? { baseDensity: null, baseSigmaDensity: 0 };
  if (baseDensity === null) return "film-unknown";
  return { value: shoulder.value - baseDensity, sigma: Math.hypot(shoulder.sigma, baseSigmaDensity) };
}

function exposureRange(curve: Curve): Measured | null {
  const { toe, shoulder } = curve.sigmaLogH;
  if (curve.logExposureRange === null || toe === null || shoulder === null) return null;
  return { value: curve.logExposureRange, sigma: Math.hypot(toe, shoulder) };
}

/**
 * Gradient between toe and shoulder: its relative uncertainty is that of the range and of the density between them,
 * which the camera stretches as it does the deepest blue.
 */
function gradient(curve: Curve, cameraSigma: number): Measured | null {
  const range = exposureRange(curve);
  if (range === null || curve.averageGradient === null || curve.points.toe === null || curve.points.shoulder === null)
    return null;
  const height = curve.points.shoulder.density - curve.points.toe.density;
  const levels = levelSigmas(curve);
  return {
    value: curve.averageGradient,
    sigma:
      Math.abs(curve.averageGradient) *
      Math.hypot(range.sigma / range.value, Math.hypot(levels.dMax, levels.dMin, cameraSigma) / height),
  };
}
