// Whether a calibration still holds: the speed of one lamp, support and coating over its tests.
import { stopsFromLogH } from "#shared/units/stops.ts";
import { controlChart, type ControlChart } from "#shared/statistics/control-chart.ts";
import { doLogSecondsDisagree } from "./pool-log-seconds.ts";

/** Two coatings of one batch differ by about this much in log H (a twentieth of a stop). common practice, no source */
const coatingSdLogH = 0.015;

export interface DriftTest {
  readonly id: string;
  /** Instant at which it was made, ISO 8601. */
  readonly madeAt: string;
  /** log10 of the seconds that bare coating needs to the shoulder. */
  readonly logSeconds: number;
  /** Standard deviation of the normal distribution that has its 95 % range. */
  readonly sigmaLogSeconds: number;
}

export interface Drift {
  /** Oldest first. */
  readonly tests: readonly DriftTest[];
  readonly chart: ControlChart;
  /** How much longer the newest test needs than the centre of the ones before [stops]; negative: shorter. */
  readonly newestStops: number;
  /** More than the tests' own ranges and the usual scatter of prints allow. The chart alone cannot tell: its band grows with their scatter. */
  readonly doTestsDisagree: boolean;
  readonly isRetestAdvised: boolean;
}

/**
 * Control chart of log speed, oldest test first; the newest is held against all before it.
 * @returns null with fewer than three tests: two cannot show a drift
 */
export function driftOf(unsorted: readonly DriftTest[]): Drift | null {
  const tests = [...unsorted].sort((a, b) => Date.parse(a.madeAt) - Date.parse(b.madeAt));
  if (tests.length < 3) return null;
  const values = tests.map((test) => test.logSeconds);
  const measured = Math.sqrt(tests.reduce((sum, test) => sum + test.sigmaLogSeconds ** 2, 0) / tests.length);
  const chart = controlChart(values, { leastSd: Math.hypot(measured, coatingSdLogH), baseline: values.length - 1 });
  const newestStops = stopsFromLogH((values.at(-1) ?? chart.centre) - chart.centre);
  const doTestsDisagree = doLogSecondsDisagree(
    tests.map(({ logSeconds, sigmaLogSeconds }) => ({ logSeconds, variance: sigmaLogSeconds ** 2 })),
  );
  return { tests, chart, newestStops, doTestsDisagree, isRetestAdvised: chart.signal !== null || doTestsDisagree };
}

export interface RetestDue {
  /** Day on which the next test is due, year-month-day. */
  readonly on: string;
  /** Lamp hours at which it is due; null when the hours are not kept. */
  readonly atLampHours: number | null;
}

/** A calibration is checked at least twice a year, and every 100 lamp hours. common practice, no source */
const retestMonths = 6;
const retestLampHours = 100;

/**
 * When the next test is due.
 * @param madeAt instant of the newest test, ISO 8601
 * @param lampHours the lamp's hours at that test; null when nobody noted them
 */
export function retestDue(madeAt: string, lampHours: number | null): RetestDue {
  const [year = 1970, month = 1, day = 1] = madeAt.slice(0, 10).split("-").map(Number);
  const due = new Date(Date.UTC(year, month - 1 + retestMonths, Math.min(day, 28)));
  return { on: due.toISOString().slice(0, 10), atLampHours: lampHours === null ? null : lampHours + retestLampHours };
}
