// Whether a calibration still holds: the speed of one lamp, support and coating over its tests.
import { stopsFromLogH } from "#shared/units/stops.ts";
import { unknownFinish } from "#shared/studio-model/observation.ts";
import type { Scatter } from "#shared/studio-model/one-combination.ts";
import { ownTests } from "./own-tests.ts";

export interface DriftTest {
  readonly id: string;
  /** Instant at which it was made, ISO 8601. */
  readonly madeAt: string;
  /** log10 of the seconds that bare coating needs to the shoulder. */
  readonly logSeconds: number;
  /** Standard deviation of the normal distribution that has its 95 % range. */
  readonly sigmaLogSeconds: number;
  /** Batch of its coating; null or absent where nobody noted it. */
  readonly batchId?: string | null;
}

export interface Drift {
  /** Oldest first. */
  readonly tests: readonly DriftTest[];
  /** Mean of the tests before the newest [log10 of seconds]. */
  readonly centreLogSeconds: number;
  /** Scatter of one test about the mean: what is learned of prints, and what the tests measure [log10]. */
  readonly sdLogSeconds: number;
  /** How much longer the newest test needs than that mean [stops]; negative: shorter. */
  readonly newestStops: number;
  /** More than the tests' own ranges and the usual scatter of prints allow, and no one change explains it. */
  readonly doTestsDisagree: boolean;
  /** The newest stands further off than chance explains. */
  readonly isNewestOdd: boolean;
  /** Instant of the likeliest change, ISO 8601; null where none is likely. */
  readonly changedAt: string | null;
  readonly isRetestAdvised: boolean;
}

/**
 * What the tests of one combination say of its speed over time; the newest is held against all before it.
 * @param studio scatter of prints that the rest of the studio shows; null where it shows none
 * @returns null with fewer than two tests
 */
export function driftOf(unsorted: readonly DriftTest[], studio: Scatter | null = null): Drift | null {
  const tests = [...unsorted].sort((a, b) => Date.parse(a.madeAt) - Date.parse(b.madeAt));
  const standing = ownTests(
    tests.map(({ id, madeAt, logSeconds, sigmaLogSeconds, batchId = null }) => ({
      id,
      atMs: Date.parse(madeAt),
      seen: { kind: "measured", logSeconds, sigma: sigmaLogSeconds },
      lampId: "",
      supportId: "",
      coatingId: "",
      batchId,
      film: null,
      distance: null,
      lampHours: null,
      humidityPercent: null,
      finish: unknownFinish,
      tablet: null,
    })),
    studio,
  );
  const newest = tests.at(-1);
  if (standing === null || newest === undefined) return null;
  const before = tests.slice(0, -1);
  const centreLogSeconds = before.reduce((sum, test) => sum + test.logSeconds, 0) / before.length;
  const measured = Math.sqrt(tests.reduce((sum, test) => sum + test.sigmaLogSeconds ** 2, 0) / tests.length);
  const { doDisagree, isNewestOdd, changedAtMs, printSpread } = standing;
  return {
    tests,
    centreLogSeconds,
    sdLogSeconds: Math.hypot(measured, printSpread),
    newestStops: stopsFromLogH(newest.logSeconds - centreLogSeconds),
    doTestsDisagree: doDisagree,
    isNewestOdd,
    changedAt: changedAtMs === null ? null : new Date(changedAtMs).toISOString(),
    isRetestAdvised: doDisagree || isNewestOdd || changedAtMs !== null,
  };
}

export interface RetestDue {
  /** Day on which the next test is due, year-month-day. */
  readonly on: string;
  /** Lamp hours at which it is due; null when the hours are not kept. */
  readonly atLampHours: number | null;
  readonly isOverdue: boolean;
}

/** A calibration is checked at least twice a year, and every 100 lamp hours. common practice, no source */
const retestMonths = 6;
const retestLampHours = 100;

/**
 * When the next test is due.
 * @param madeAt instant of the newest test, ISO 8601
 * @param lampHours the lamp's hours at that test; null when nobody noted them
 * @param today year-month-day, or an instant
 */
export function retestDue(madeAt: string, lampHours: number | null, today: string): RetestDue {
  const [year = 1970, month = 1, day = 1] = madeAt.slice(0, 10).split("-").map(Number);
  const due = new Date(Date.UTC(year, month - 1 + retestMonths, Math.min(day, 28)));
  const on = due.toISOString().slice(0, 10);
  return {
    on,
    atLampHours: lampHours === null ? null : lampHours + retestLampHours,
    isOverdue: today.slice(0, 10) > on,
  };
}
