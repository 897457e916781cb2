// What one way of finding a time answers, before it is put together with what was asked.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureSource } from "#shared/schema/exposures.ts";
import type { LogRange } from "#shared/studio-model/mixture.ts";
import type { ExposureFinding, LookupWarning, Provenance } from "./lookup-facts.ts";
import type { ShareShift } from "./lookup-input.ts";

/** Ranges of a combination and of its next print [log10 of seconds]. */
interface Estimate {
  readonly calibration: LogRange;
  readonly nextPrint: LogRange;
}

export interface Answer {
  readonly source: ExposureSource;
  /** Null where no time can be told. */
  readonly estimate: Estimate | null;
  readonly provenance: readonly Provenance[];
  readonly testIds: readonly string[];
  /** Of the one test it rests on; null otherwise. */
  readonly verdict: Verdict | null;
  readonly warnings: readonly LookupWarning[];
}

type Seconds = Pick<ExposureFinding, "seconds" | "lowerSeconds" | "upperSeconds" | "nextPrint">;

const untold: Seconds = { seconds: null, lowerSeconds: null, upperSeconds: null, nextPrint: null };

/**
 * Seconds and ranges of an answer. Tests that contradict each other make no time: their mean is that of none of them.
 */
export function secondsOf({ estimate, warnings }: Answer, shift: ShareShift): Seconds {
  if (estimate === null || warnings.some(({ code }) => code === "tests-disagree")) return untold;
  const { calibration, nextPrint } = estimate;
  // Deeper than any curve goes: the time of the usual share is too short, and more is not known.
  if (shift === "not-reached") return { ...untold, lowerSeconds: 10 ** calibration.logSeconds };
  const ends = ({ logSeconds, lower, upper }: LogRange): { lowerSeconds: number; upperSeconds: number } => {
    const extra = rangeSigmas * shift.sigmaLogH;
    const middle = logSeconds + shift.shiftLogH;
    return {
      lowerSeconds: 10 ** (middle - Math.hypot(logSeconds - lower, extra)),
      upperSeconds: 10 ** (middle + Math.hypot(upper - logSeconds, extra)),
    };
  };
  return {
    seconds: 10 ** (calibration.logSeconds + shift.shiftLogH),
    ...ends(calibration),
    nextPrint: ends(nextPrint),
  };
}
