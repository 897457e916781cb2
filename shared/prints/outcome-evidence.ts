// What finished prints say about a calibrated time: too light means more was needed, too dark means less.
import type { Outcome } from "#shared/schema/prints.ts";

interface PrintedOutcome {
  /** Exposure as it was given [s]. */
  readonly seconds: number;
  readonly outcome: Outcome;
}

export interface OutcomeEvidence {
  readonly prints: number;
  /** Prints came out too light at and below this time [s]; null when none did. */
  readonly tooLightUpToSeconds: number | null;
  /** Prints came out too dark at and above this time [s]; null when none did. */
  readonly tooDarkFromSeconds: number | null;
  /** Whether the log speaks against the calibrated range. */
  readonly verdict: "agrees" | "says-longer" | "says-shorter" | "mixed" | "too-few";
  /** Prints that speak for a longer time, and for a shorter one. */
  readonly speakLonger: number;
  readonly speakShorter: number;
}

/** Judged prints below which nothing is said: one odd print is a mishap, not evidence. common practice, no source */
const fewestPrints = 2;

export interface OutcomeEvidenceInput {
  readonly prints: readonly PrintedOutcome[];
  /** Calibrated range [s]. */
  readonly lowerSeconds: number;
  readonly upperSeconds: number;
}

/**
 * Holds the print log against the calibrated range.
 *
 * A print that came out too light although it had at least the range's lower end speaks for a longer time, one that
 * came out too dark although it had at most the upper end for a shorter one. The log contradicts the calibration when
 * at least `fewestPrints` speak the same way, outnumber the prints in the range that came out right, and none speaks
 * the other way.
 */
export function outcomeEvidence({ prints, lowerSeconds, upperSeconds }: OutcomeEvidenceInput): OutcomeEvidence {
  const timesOf = (outcome: Outcome): number[] =>
    prints.filter((print) => print.outcome === outcome).map((print) => print.seconds);
  const light = timesOf("too-light");
  const dark = timesOf("too-dark");
  const longer = light.filter((seconds) => seconds >= lowerSeconds).length;
  const shorter = dark.filter((seconds) => seconds <= upperSeconds).length;
  const right = timesOf("right").filter((seconds) => seconds >= lowerSeconds && seconds <= upperSeconds).length;
  const tooLightUpToSeconds = light.length === 0 ? null : Math.max(...light);
  const tooDarkFromSeconds = dark.length === 0 ? null : Math.min(...dark);
  const answer = (verdict: OutcomeEvidence["verdict"]): OutcomeEvidence => ({
    prints: prints.length,
    tooLightUpToSeconds,
    tooDarkFromSeconds,
    verdict,
    speakLonger: longer,
    speakShorter: shorter,
  });

  if (prints.length < fewestPrints) return answer("too-few");
  if (longer >= fewestPrints && longer > right && shorter === 0) return answer("says-longer");
  if (shorter >= fewestPrints && shorter > right && longer === 0) return answer("says-shorter");
  if (longer > 0 && shorter > 0) return answer("mixed");
  return answer("agrees");
}
