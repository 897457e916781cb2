// What the card of a frame says at an instant: the server fills it in, the page's script counts on.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatShare } from "#shared/format/number.ts";
import type { SunFrameInput } from "#shared/schema/sun/frame.ts";
import type { DoseClockReading } from "#shared/sun/frames/dose-clock.ts";
import { frameReading } from "#shared/sun/frames/frame-record.ts";
import { clockOfZone, clockTime } from "#shared/sun/local-clock.ts";
import { hiddenWords, overdueWords } from "./dose-clock-words.ts";

/** `out` and not due, `due`, brought `in`, or `waiting` for its hour to go out. */
type FrameState = "waiting" | "out" | "due" | "in";

export interface FrameFace {
  readonly state: FrameState;
  readonly label: string;
  readonly main: string;
  readonly mainSpoken: string;
  readonly range: string;
  /** What `main` counts down to [ms of UTC]; null where it does not. */
  readonly countToMs: number | null;
  readonly shareWords: string;
  /** Dose over the wanted dose, percent, 0-100 for a bar. */
  readonly barPercent: number;
  readonly conditions: string;
  readonly isSunHidden: boolean;
}

type Main = Pick<FrameFace, "label" | "main" | "mainSpoken" | "range" | "countToMs">;
type TimeOfDay = (ms: number) => string;

/** To the minute for the ear: a voice that counts seconds cannot be listened to. */
const spokenRoughly = (seconds: number): string =>
  spokenDuration(seconds < 60 ? Math.round(seconds) : Math.round(seconds / 60) * 60);

const lasting = (label: string, seconds: number, range: string): Main => ({
  label,
  main: formatDuration(Math.max(0, Math.round(seconds))),
  mainSpoken: spokenRoughly(Math.max(0, seconds)),
  range,
  countToMs: null,
});

const counting = (label: string, span: { toMs: number; nowMs: number }, range: string): Main => ({
  ...lasting(label, (span.toMs - span.nowMs) / 1000, range),
  countToMs: span.toMs,
});

function betweenWords({ bringInMs, earliestMs, latestMs }: DoseClockReading, at: TimeOfDay): string {
  const earliest = earliestMs ?? bringInMs;
  return `between ${earliest === null ? "now" : at(earliest)} and ${latestMs === null ? "sunset" : at(latestMs)}`;
}

function mainOutside(reading: DoseClockReading, nowMs: number, at: TimeOfDay): Main {
  const noTime = (label: string, main: string, range: string): Main => ({
    label,
    main,
    mainSpoken: main,
    range,
    countToMs: null,
  });
  if (reading.share >= 1) return noTime("Bring it in", "Now", overdueWords(reading, nowMs, at));
  if (reading.sunHidden) {
    const label = "Sun hidden. If it comes back now, bring the frame in";
    const range = hiddenWords(reading, at);
    return reading.bringInIfClearMs === null
      ? noTime(label, "not today", range)
      : counting(label, { toMs: reading.bringInIfClearMs, nowMs }, range);
  }
  if (reading.bringInMs === null)
    return noTime(
      "Not before sunset",
      "–",
      `under this sky it will have had ${formatShare(reading.shareAtSunset)} of its light by then`,
    );
  return counting(
    `Bring it in at ${at(reading.bringInMs)}, in`,
    { toMs: reading.bringInMs, nowMs },
    betweenWords(reading, at),
  );
}

function stateOf(frame: SunFrameInput, reading: DoseClockReading, atMs: number): FrameState {
  if (frame.endedAt !== null) return "in";
  if (atMs < Date.parse(frame.startedAt)) return "waiting";
  return reading.share >= 1 ? "due" : "out";
}

/**
 * The card of a frame.
 * @param atMs now [ms of UTC]
 */
export function frameFace(frame: SunFrameInput, atMs: number): FrameFace {
  const reading = frameReading(frame, atMs);
  const clock = clockOfZone(frame.timeZone);
  const at = (ms: number): string => clockTime(clock, ms);
  const startMs = Date.parse(frame.startedAt);
  const state = stateOf(frame, reading, atMs);
  const mains: Readonly<Record<FrameState, () => Main>> = {
    waiting: () => counting(`Goes out at ${at(startMs)}, in`, { toMs: startMs, nowMs: atMs }, ""),
    out: () => mainOutside(reading, atMs, at),
    due: () => mainOutside(reading, atMs, at),
    in: () => {
      const endMs = Date.parse(frame.endedAt ?? frame.startedAt);
      return lasting("Was outside for", (endMs - startMs) / 1000, `${at(startMs)} to ${at(endMs)}`);
    },
  };
  return {
    ...mains[state](),
    state,
    shareWords:
      `${formatShare(reading.share)} of the light it wants ` +
      `(${formatShare(reading.lowerShare)} to ${formatShare(reading.upperShare)})`,
    barPercent: Math.min(100, reading.share * 100),
    conditions: reading.sunHidden && state !== "in" ? "Sun hidden: reckoned as if it stayed so" : "",
    isSunHidden: reading.sunHidden,
  };
}
