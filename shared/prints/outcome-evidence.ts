// What finished prints say about a calibrated time: too light means more was needed, too dark means less.
import type { Outcome } from "#shared/schema/prints.ts";

export interface PrintedOutcome {
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
  /** One plain sentence. */
  readonly sentence: string;
}

/** Judged prints below which nothing is said: one odd print is a mishap, not evidence. common practice, no source */
export const fewestPrints = 2;

export interface OutcomeEvidenceInput {
  readonly prints: readonly PrintedOutcome[];
  /** Calibrated range [s]. */
  readonly lowerSeconds: number;
  readonly upperSeconds: number;
  /** Writes a time for the sentence. */
  readonly write: (seconds: number) => string;
}

/**
 * Holds the print log against the calibrated range.
 *
 * A print that came out too light although it had at least the range's lower end speaks for a longer time, one that came out
 * too dark although it had at most the upper end for a shorter one. The log contradicts the calibration when at least
 * `fewestPrints` speak the same way, outnumber the prints in the range that came out right, and none speaks the other way.
 */
export function outcomeEvidence({ prints, lowerSeconds, upperSeconds, write }: OutcomeEvidenceInput): OutcomeEvidence {
  const timesOf = (outcome: Outcome): number[] =>
    prints.filter((print) => print.outcome === outcome).map((print) => print.seconds);
  const light = timesOf("too-light");
  const dark = timesOf("too-dark");
  const longer = light.filter((seconds) => seconds >= lowerSeconds).length;
  const shorter = dark.filter((seconds) => seconds <= upperSeconds).length;
  const right = timesOf("right").filter((seconds) => seconds >= lowerSeconds && seconds <= upperSeconds).length;
  const tooLightUpToSeconds = light.length === 0 ? null : Math.max(...light);
  const tooDarkFromSeconds = dark.length === 0 ? null : Math.min(...dark);
  const answer = (verdict: OutcomeEvidence["verdict"], sentence: string): OutcomeEvidence => ({
    prints: prints.length,
    tooLightUpToSeconds,
    tooDarkFromSeconds,
    verdict,
    sentence,
  });

  if (prints.length < fewestPrints) {
    return answer(
      "too-few",
      prints.length === 0
        ? "No finished print has been judged yet."
        : "One print has been judged: too few to hold against the calibration.",
    );
  }
  if (longer >= fewestPrints && longer > right && shorter === 0) {
    return answer(
      "says-longer",
      `${longer} of ${prints.length} prints came out too light at the calibrated time or longer (up to ${write(tooLightUpToSeconds ?? 0)}): the calibration may be out of date. Make a new test, and until then expose longer.`,
    );
  }
  if (shorter >= fewestPrints && shorter > right && longer === 0) {
    return answer(
      "says-shorter",
      `${shorter} of ${prints.length} prints came out too dark at the calibrated time or less (from ${write(tooDarkFromSeconds ?? 0)}): the calibration may be out of date. Make a new test, and until then expose less.`,
    );
  }
  if (longer > 0 && shorter > 0) {
    return answer(
      "mixed",
      "At about the calibrated time some prints came out too light and others too dark: something besides the time changes, such as coating, humidity or the place in the box.",
    );
  }
  return answer(
    "agrees",
    `${prints.length} prints have been judged, and nothing in them speaks against the calibrated time.`,
  );
}
