// A lamp that grows weaker: the trend of its speed over its hours, and when to test again.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { theilSenTrend } from "#shared/statistics/theil-sen.ts";
import { median, robustSigma } from "#shared/statistics/robust.ts";
import type { LampAgeingFinding } from "./lamp-facts.ts";

/** One test of a lamp on a support and coating that were tested more than once. */
export interface LampSpeed {
  /** Hours on the lamp's meter at the test. */
  readonly hours: number;
  /**
   * -log10 of the seconds to the shoulder, with the support's and coating's own level taken out: falls as the lamp
   * weakens.
   */
  readonly logSpeed: number;
}

export interface LampAgeing {
  /** Change of log speed per 100 hours; negative as lamps age. Null while there are too few tests. */
  readonly slopePer100Hours: number | null;
  /** 95 % range of the slope. */
  readonly lowerPer100Hours: number | null;
  readonly upperPer100Hours: number | null;
  /** Scatter of the tests about the trend, log10. */
  readonly scatter: number | null;
  readonly shouldRetest: boolean;
  /** Why, or why not. */
  readonly finding: LampAgeingFinding;
}

/** Fewest tests that a trend is drawn from: with four, Kendall's ordering makes no 95 % range. Source: Sen1968. */
const fewestForTrend = 5;
/** A shift of half a step of a 0.15 tablet asks for a new test. Source: LampGeometry, ageing. */
const retestLogH = 0.075;
/** Hours after which any lamp is tested again. Source: LampGeometry, ageing. */
const retestHours = 100;

/**
 * Robust trend of log speed over lamp hours, and whether the lamp should be tested again.
 * @param speeds tests in any order
 * @param hoursNow the lamp's hours now; absent, those of the latest test
 * Source: Theil1950, Sen1968; LampGeometry for the signal.
 */
export function lampAgeing(speeds: readonly LampSpeed[], hoursNow?: number): LampAgeing {
  const latest = speeds.length === 0 ? null : Math.max(...speeds.map((speed) => speed.hours));
  const hoursSince = latest === null || hoursNow === undefined ? 0 : hoursNow - latest;
  const overdue = hoursSince > retestHours;
  const trend =
    speeds.length < fewestForTrend
      ? null
      : theilSenTrend(
          speeds.map((speed) => speed.hours),
          speeds.map((speed) => speed.logSpeed),
          "between",
        );
  if (trend === null) {
    const finding: LampAgeingFinding = overdue
      ? { code: "overdue", hoursSince }
      : { code: "too-few-tests", fewest: fewestForTrend, retestHours };
    return {
      slopePer100Hours: null,
      lowerPer100Hours: null,
      upperPer100Hours: null,
      scatter: null,
      shouldRetest: overdue,
      finding,
    };
  }
  const scatter = robustSigma(
    speeds.map((speed) => speed.logSpeed - trend.intercept - trend.slope * speed.hours),
    0,
  );
  const range = {
    slopePer100Hours: trend.slope * 100,
    lowerPer100Hours: trend.lowerSlope * 100,
    upperPer100Hours: trend.upperSlope * 100,
    scatter,
  };
  const expectedLoss = -trend.slope * hoursSince;
  const isSure = trend.upperSlope < 0 || trend.lowerSlope > 0;
  const jump = latestJump(speeds, trend, scatter);
  if (jump !== null) return { ...range, shouldRetest: true, finding: { code: "off-its-trend", jumpLog: jump } };
  if (isSure && Math.abs(expectedLoss) > retestLogH)
    return { ...range, shouldRetest: true, finding: { code: "changed-since-test", lossLog: expectedLoss } };
  if (overdue) return { ...range, shouldRetest: true, finding: { code: "overdue", hoursSince } };
  const change = Math.round((1 - 10 ** (trend.slope * 100)) * 100);
  return {
    ...range,
    shouldRetest: false,
    finding: isSure && change !== 0 ? { code: "changes-slowly", lossPercentPer100Hours: change } : { code: "steady" },
  };
}

/**
 * How far the latest test lies from the trend of the others, log10; null when within half a step and three times the
 * scatter.
 */
function latestJump(
  speeds: readonly LampSpeed[],
  trend: { slope: number; intercept: number },
  scatter: number,
): number | null {
  const lastHours = Math.max(...speeds.map((speed) => speed.hours));
  const last = median(speeds.filter((speed) => speed.hours === lastHours).map((speed) => speed.logSpeed));
  const jump = last - trend.intercept - trend.slope * lastHours;
  return Math.abs(jump) > Math.max(retestLogH, 3 * scatter) ? jump : null;
}

/**
 * Change of log H that ageing brings between two readings of a lamp's hours.
 * @returns log10 shift of the time and its standard uncertainty; null without a trend, or beyond twice the span of
 *   hours tested
 */
export function ageingShift(
  speeds: readonly LampSpeed[],
  fromHours: number,
  toHours: number,
): { shiftLogH: number; sigmaLogH: number } | null {
  const ageing = lampAgeing(speeds);
  if (ageing.slopePer100Hours === null || ageing.lowerPer100Hours === null || ageing.upperPer100Hours === null)
    return null;
  const hours = speeds.map((speed) => speed.hours);
  const span = Math.max(...hours) - Math.min(...hours);
  if (toHours > Math.max(...hours) + span || toHours < Math.min(...hours) - span) return null;
  const hundreds = (toHours - fromHours) / 100;
  return {
    shiftLogH: -ageing.slopePer100Hours * hundreds,
    sigmaLogH: (Math.abs(hundreds) * (ageing.upperPer100Hours - ageing.lowerPer100Hours)) / (2 * rangeSigmas),
  };
}
