// What is said about finished prints held against a calibration, and about a press on a run sheet that changes nothing.
import type { OutcomeEvidence } from "#shared/prints/outcome-evidence.ts";
import type { PressTrouble } from "#shared/prints/steps-after.ts";
import { formatDuration } from "#shared/format/duration.ts";
import type { Sentences } from "./sentences.ts";

/** One sentence: whether the log speaks against the calibrated time, and what to do. */
export function outcomeWords(evidence: OutcomeEvidence): string {
  const { prints, speakLonger, speakShorter, tooLightUpToSeconds, tooDarkFromSeconds } = evidence;
  switch (evidence.verdict) {
    case "too-few":
      return prints === 0
        ? "No finished print has been judged yet."
        : "One print has been judged: too few to hold against the calibration.";
    case "says-longer":
      return (
        `${speakLonger} of ${prints} prints came out too light at the calibrated time or longer (up to ` +
        `${formatDuration(tooLightUpToSeconds ?? 0)}): the calibration may be out of date. Make a new test, and ` +
        "until then expose longer."
      );
    case "says-shorter":
      return (
        `${speakShorter} of ${prints} prints came out too dark at the calibrated time or less (from ` +
        `${formatDuration(tooDarkFromSeconds ?? 0)}): the calibration may be out of date. Make a new test, and ` +
        "until then expose less."
      );
    case "mixed":
      return (
        "At about the calibrated time some prints came out too light and others too dark: something besides the " +
        "time changes, such as coating, humidity or the place in the box."
      );
    case "agrees":
      return `${prints} prints have been judged, and nothing in them speaks against the calibrated time.`;
  }
}

/** Of a print that was planned before its tests came to contradict each other. */
export const planDisputedWords =
  "Since this print was planned, the tests of its combination contradict each other: make one more test before it.";

/** Of a print that was planned with another time than the tests say now. */
export function timeMovedWords(nowSeconds: number, plannedSeconds: number): string {
  return (
    `Since this print was planned, the time of its combination has become ${formatDuration(nowSeconds)}; the ` +
    `calibration said ${formatDuration(plannedSeconds)} then.`
  );
}

export const pressTroubleSentences: Sentences<PressTrouble> = {
  "no-such-step": "There is no such step: load the page again.",
  "no-such-press": "A step can be started, ended or set back, nothing else.",
};
