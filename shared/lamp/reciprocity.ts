// Whether half the light for twice the time gives the same print.
import { SimpleLinearRegression } from "ml-regression";
import { effectiveDegrees, studentT95 } from "#shared/statistics/student-t.ts";
import { relativeIrradiance, shapeOfLamp, shapeUncertaintyShare } from "./distance-change.ts";
import type { DistanceTest } from "./distance-fit.ts";

export interface ReciprocityTest {
  /** log10 of irradiance on any scale that all tests share. */
  readonly logIrradiance: number;
  /** log10 of the seconds to one same density, on one same coating. */
  readonly logSeconds: number;
}

export interface Reciprocity {
  /** p in E t^p = constant: 1 keeps reciprocity; below 1, weak light needs more than its share of time. */
  readonly exponent: number;
  /** 95 % range; null with two tests, which leave nothing to judge the scatter by. */
  readonly lower: number | null;
  readonly upper: number | null;
}

/**
 * A scatter judged from few tests that looks small by chance would pass for known: its sum with the doubt of the lamp's
 * shape has at most so many times its own degrees of freedom. Chosen on drawn tests: 3 to 10 of them then hold 94 to
 * 96.5 of 100, where three held 92.5 at a scatter of 0.05 log H without. Source: common practice, no source.
 */
const mostDegreesTimes = 10;
/** Tests must span at least this much irradiance (a factor of two). */
const leastSpanLog = 0.3;

/**
 * Schwarzschild's exponent from tests at different irradiances.
 * @param irradianceDoubtShare standard uncertainty of all differences of log irradiance together, as a share of them: a
 *   lamp's shape is wrong the same way at every distance, so that no number of tests averages it away
 * @returns null when they span less than a factor of two, or the time does not fall as the light grows
 * Source: Schwarzschild1900, from memory; Satterthwaite1946 for the degrees of freedom.
 */
export function reciprocityExponent(tests: readonly ReciprocityTest[], irradianceDoubtShare = 0): Reciprocity | null {
  const logs = tests.map((test) => test.logIrradiance);
  if (tests.length < 2 || Math.max(...logs) - Math.min(...logs) < leastSpanLog) return null;
  const { slope: m, intercept: b } = new SimpleLinearRegression(
    logs,
    tests.map((test) => test.logSeconds),
  );
  if (!(m < 0)) return null;
  const degrees = tests.length - 2;
  if (degrees === 0) return { exponent: -1 / m, lower: null, upper: null };
  const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length;
  const spread = logs.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const residual = tests.reduce((sum, test) => sum + (test.logSeconds - b - m * test.logIrradiance) ** 2, 0);
  const scatter = residual / degrees / spread;
  const variance = scatter + (irradianceDoubtShare * m) ** 2;
  // The doubt of the lamp's shape is known, the scatter is judged from few tests: degrees of freedom of their sum.
  const effective = effectiveDegrees([
    { variance: scatter, degreesOfFreedom: degrees },
    { variance: variance - scatter, degreesOfFreedom: Infinity },
  ]);
  const half = studentT95(Math.min(effective, mostDegreesTimes * degrees)) * Math.sqrt(variance);
  return {
    exponent: -1 / m,
    lower: m - half < 0 ? -1 / (m - half) : null,
    upper: m + half < 0 ? -1 / (m + half) : null,
  };
}

/**
 * Schwarzschild's exponent from tests of one combination at different distances from one lamp.
 * @returns null without the lamp's size, or where `reciprocityExponent` finds none
 */
export function reciprocityUnder(
  lamp: Parameters<typeof shapeOfLamp>[0],
  tests: readonly DistanceTest[],
): Reciprocity | null {
  const shape = shapeOfLamp(lamp);
  if (shape === null) return null;
  return reciprocityExponent(
    tests.map(({ distanceMm, logSeconds }) => ({
      logIrradiance: Math.log10(relativeIrradiance(shape, distanceMm)),
      logSeconds,
    })),
    shapeUncertaintyShare,
  );
}
