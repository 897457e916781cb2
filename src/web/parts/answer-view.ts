// The large answer of a page. Good, doubtful, predicted and "make another test" are told apart by shape, word and
// order, not by colour.
import { aboutTime } from "#shared/format/about-time.ts";
import { timeWords, type TimeWords } from "./time-words.ts";

type AnswerState = "good" | "doubtful" | "predicted" | "test-time" | "no-time";

export interface AnswerView {
  readonly state: AnswerState;
  /** Word over a time that must not be taken for a good one. */
  readonly badge: string | null;
  readonly label: string;
  /** In full where it is good; null where the range leads. */
  readonly time: TimeWords | null;
  /** Of a doubtful or predicted time: the rounded middle of its range. */
  readonly about: string | null;
  readonly range: { readonly lower: TimeWords; readonly upper: TimeWords; readonly of: string } | null;
  /** Range of the calibration alone, where the large one is the next print's. */
  readonly calibration: string | null;
  /** Where the time lies between the ends of its range, on a scale of stops, percent. */
  readonly tickPercent: number | null;
  readonly lines: readonly string[];
}

interface Range {
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
}

/** What a page knows of a time. */
export interface AnswerFacts {
  readonly state: "good" | "doubtful" | "predicted";
  readonly seconds: number;
  /** Of the calibration. */
  readonly range: Range;
  readonly nextPrint?: Range | null | undefined;
  /** What `range` is of, where the next print's stands above it; one test's own by default. */
  readonly rangeOf?: string;
  readonly lines: readonly string[];
}

const badges = { good: null, doubtful: "Not sure", predicted: "A guess: nobody tested this" } as const;

/** A time with what is said round it. The large range is the next print's where it is known. */
export function timeAnswer({
  state,
  seconds,
  range,
  nextPrint,
  rangeOf = "This calibration alone",
  lines,
}: AnswerFacts): AnswerView {
  const shown = bothEnds(nextPrint) ?? bothEnds(range);
  const own = bothEnds(nextPrint) === null ? null : bothEnds(range);
  const leads = state !== "good" && shown !== null;
  return {
    state,
    badge: badges[state],
    label: leads ? "Somewhere between" : "Expose for",
    time: leads ? null : timeWords(seconds),
    about: leads ? aboutTime(seconds, shown) : null,
    range:
      shown === null
        ? null
        : {
            lower: timeWords(shown.lowerSeconds),
            upper: timeWords(shown.upperSeconds),
            of: own === null ? "with 95 % confidence" : "the next print, 95 of 100 times",
          },
    calibration:
      own === null
        ? null
        : `${rangeOf}: ${timeWords(own.lowerSeconds).shown} to ${timeWords(own.upperSeconds).shown}. ` +
          "Prints differ a little from one to the next.",
    tickPercent: shown === null ? null : placeOf(seconds, shown),
    lines,
  };
}

/** The time of the next test, which must not be set as the time of a print. */
export function nextTestAnswer(seconds: number, lines: readonly string[]): AnswerView {
  return {
    ...withoutTime("No print time yet. Expose the next test for", lines),
    state: "test-time",
    badge: "Test",
    time: timeWords(seconds),
  };
}

/** No time at all. */
export function withoutTime(label: string, lines: readonly string[]): AnswerView {
  return {
    state: "no-time",
    badge: null,
    label,
    time: null,
    about: null,
    range: null,
    calibration: null,
    tickPercent: null,
    lines,
  };
}

function bothEnds(range: Range | null | undefined): { lowerSeconds: number; upperSeconds: number } | null {
  if (range == null || range.lowerSeconds === null || range.upperSeconds === null) return null;
  return { lowerSeconds: range.lowerSeconds, upperSeconds: range.upperSeconds };
}

/** Place of a time between two others on a scale of equal stops [%]. */
function placeOf(seconds: number, ends: { lowerSeconds: number; upperSeconds: number }): number | null {
  const whole = Math.log(ends.upperSeconds / ends.lowerSeconds);
  if (!(whole > 0)) return null;
  return Math.round(100 * Math.min(1, Math.max(0, Math.log(seconds / ends.lowerSeconds) / whole)));
}
