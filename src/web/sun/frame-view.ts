// View object of the frames: those outside, those in and still to be judged, those judged; and the plan that the next
// goes out by.
import { formatDay } from "#shared/format/instant.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { SunFrame } from "#shared/schema/sun/frame.ts";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import { frameReading } from "#shared/sun/frames/frame-record.ts";
import { clockOfZone, clockTime } from "#shared/sun/local-clock.ts";
import { isUnbelievable, unbelievableWords } from "#shared/words/sun/dose-clock-words.ts";
import { frameFace, type FrameFace } from "#shared/words/sun/sun-frame-words.ts";
import { nameOfTest } from "#src/studio/sun/plan-sun-exposure.ts";
import type { StoreReader } from "#src/store/store.ts";
import { timeWords, type TimeWords } from "#src/web/parts/time-words.ts";
import { directionWord } from "./directions.ts";
import { sunQuery, type SunForm } from "./form.ts";

interface Row {
  readonly term: string;
  readonly value: string;
}

interface TestChoice {
  readonly id: string;
  readonly name: string;
}

interface FrameCard {
  readonly id: string;
  readonly name: string;
  readonly day: string;
  readonly face: FrameFace;
  /** The record, for the script that counts on. */
  readonly record: SunFrame;
  readonly scaledBy: string;
  readonly log: readonly Row[];
  readonly values: { readonly startTime: string; readonly endTime: string; readonly cloudMinutes: string };
  readonly canUndoHidden: boolean;
  readonly canUndoTurn: boolean;
  /** Null once it is in, or where the light does not suffice. */
  readonly calendarHref: string | null;
  /** Asks back before an exposure far off its plan is kept. */
  readonly oddWords: string | null;
  readonly isJudged: boolean;
  /** Whether a witness strip told its dose. */
  readonly byStrip: boolean;
}

interface StartView {
  readonly time: TimeWords;
  readonly range: string;
  readonly when: string;
  readonly scaledBy: string;
  readonly name: string;
  /** The plan's fields, to be sent with the press. */
  readonly fields: readonly { readonly name: string; readonly value: string }[];
}

export interface FramesView {
  readonly start: StartView | null;
  /** Why a plan that was asked for gives no time. */
  readonly reasons: readonly string[];
  readonly plannerHref: string;
  readonly outside: readonly FrameCard[];
  readonly toJudge: readonly FrameCard[];
  readonly judged: readonly FrameCard[];
  readonly trouble: string | null;
  readonly judgements: typeof judgements;
  /** Timed strips in the sun, and the tests whose curves tell their depths. */
  readonly strips: readonly TestChoice[];
  readonly curves: readonly TestChoice[];
}

const judgements = [
  { value: "3", label: "hardly any blue", hint: "wants eight times the light" },
  { value: "2", label: "far too light", hint: "wants four times the light" },
  { value: "1", label: "much too light", hint: "wants twice the light" },
  { value: "0.5", label: "a little too light", hint: "wants 1.4 times the light" },
  { value: "0", label: "right", hint: "" },
  { value: "-0.5", label: "a little too dark", hint: "wants 0.7 of the light" },
  { value: "-1", label: "much too dark", hint: "wants half the light" },
  { value: "-2", label: "far too dark", hint: "wants a quarter of the light" },
  { value: "-3", label: "all one blue", hint: "wants an eighth of the light, or less" },
] as const;

/** Judged frames that are still shown. */
const shownJudged = 12;

function logOf(frame: SunFrame, nowMs: number): Row[] {
  const clock = clockOfZone(frame.timeZone);
  const at = (instant: string): string => clockTime(clock, Date.parse(instant));
  const endMs = frame.endedAt === null ? nowMs : Date.parse(frame.endedAt);
  return [
    { term: "Went out", value: at(frame.startedAt) },
    {
      term: "Outside for",
      value: formatDuration(Math.max(0, Math.round((endMs - Date.parse(frame.startedAt)) / 1000))),
    },
    ...frame.hidden.map(({ fromAt, untilAt }, index) => ({
      term: `Sun hidden, ${index + 1}`,
      value: `${at(fromAt)} to ${untilAt === null ? "now" : at(untilAt)}`,
    })),
    ...(frame.cloudMinutes > 0
      ? [{ term: "Hidden besides, untimed", value: `${formatFixed(frame.cloudMinutes, 0)} min` }]
      : []),
    ...frame.turns.map((turn) => ({ term: `From ${at(turn.fromAt)}`, value: turnWords(turn) })),
  ];
}

function turnWords({ tiltDegrees, facingDegrees, glass }: SunFrame["turns"][number]): string {
  const underGlass = glass === true ? "under glass" : "without glass";
  return [
    tiltDegrees === undefined ? "" : `tilted ${formatFixed(tiltDegrees, 0)}°`,
    facingDegrees === undefined ? "" : `facing ${directionWord(facingDegrees)}`,
    glass === undefined ? "" : underGlass,
  ]
    .filter((part) => part !== "")
    .join(", ");
}

function frameCard(frame: SunFrame, nowMs: number): FrameCard {
  const clock = clockOfZone(frame.timeZone);
  const reading = frameReading(frame, nowMs);
  const { endedAt } = frame;
  const isIn = endedAt !== null;
  const endMs = endedAt === null ? nowMs : Date.parse(endedAt);
  const face = frameFace(frame, nowMs);
  return {
    id: frame.id,
    name: frame.name,
    day: formatDay(frame.startedAt),
    face,
    record: frame,
    scaledBy: frame.anchorNames.length === 0 ? "a dose" : frame.anchorNames.join(", "),
    log: logOf(frame, nowMs),
    values: {
      startTime: clockTime(clock, Date.parse(frame.startedAt)),
      endTime: isIn ? clockTime(clock, endMs) : "",
      cloudMinutes: frame.cloudMinutes === 0 ? "" : String(frame.cloudMinutes),
    },
    canUndoHidden: frame.hidden.length > 0,
    canUndoTurn: frame.turns.length > 0,
    calendarHref:
      isIn || reading.bringInMs === null || face.state === "due" ? null : `/api/sun/frames/${frame.id}/calendar.ics`,
    oddWords:
      isIn && isUnbelievable(reading.share)
        ? unbelievableWords(reading.share, (endMs - Date.parse(frame.startedAt)) / 1000)
        : null,
    isJudged: frame.anchorId !== null,
    byStrip: frame.measuredDose !== null,
  };
}

/** A name that no frame has yet: Frame A, Frame B … */
function freshName(frames: readonly SunFrame[]): string {
  const taken = new Set(frames.filter((frame) => frame.anchorId === null).map(({ name }) => name));
  const letters = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].map((letter) => `Frame ${letter}`);
  return letters.find((name) => !taken.has(name)) ?? `Frame ${taken.size + 1}`;
}

function startView(form: SunForm, answer: SunExposureAnswer, frames: readonly SunFrame[]): StartView | null {
  const { seconds, lowerSeconds, upperSeconds, endAt } = answer;
  if (seconds === null || endAt === null) return null;
  const at = (ms: number): string => clockTime(form.clock, ms);
  const startMs = Date.parse(answer.startAt);
  const isNow = (form.values["time"] ?? "") === "";
  const earliest = at(startMs + (lowerSeconds ?? seconds) * 1000);
  const latest = upperSeconds === null ? "sunset" : at(startMs + upperSeconds * 1000);
  return {
    time: timeWords(seconds),
    range: `in at ${at(Date.parse(endAt))}, between ${earliest} and ${latest}`,
    when: isNow ? "If it goes out now" : `If it goes out on ${formatDay(answer.startAt)} at ${at(startMs)}`,
    scaledBy: answer.anchors.map((anchor) => anchor.name).join(", "),
    name: freshName(frames),
    fields: [...new URLSearchParams(sunQuery(form))].map(([name, value]) => ({ name, value })),
  };
}

/** Tests made in the sun that are looked at for strips and curves. */
const shownTests = 30;

function sunTests(store: StoreReader): { strips: TestChoice[]; curves: TestChoice[] } {
  const tests = store.sunTestIds(shownTests).flatMap((id) => store.tests.find(id) ?? []);
  const choice = (test: (typeof tests)[number]): TestChoice => ({ id: test.id, name: nameOfTest(test) });
  return {
    strips: tests.filter(({ request }) => request.tablet.kind === "timed").map(choice),
    curves: tests.filter(({ curve, request }) => curve !== null && request.sun?.sky !== "overcast").map(choice),
  };
}

/** The whole page. */
export function framesView(
  store: StoreReader,
  asked: { readonly form: SunForm; readonly answer: SunExposureAnswer | null },
  { nowMs, trouble = null }: { nowMs: number; trouble?: string | null },
): FramesView {
  const frames = store.sunFrames.list();
  const card = (frame: SunFrame): FrameCard => frameCard(frame, nowMs);
  const { form, answer } = asked;
  return {
    start: answer === null ? null : startView(form, answer, frames),
    reasons: answer === null || answer.verdict === "ok" ? Object.values(form.errors) : answer.reasons,
    plannerHref: `/sun?${sunQuery(form)}`,
    outside: frames.filter(({ endedAt }) => endedAt === null).map(card),
    toJudge: frames.filter(({ endedAt, anchorId }) => endedAt !== null && anchorId === null).map(card),
    judged: frames
      .filter(({ anchorId }) => anchorId !== null)
      .slice(0, shownJudged)
      .map(card),
    trouble,
    judgements,
    ...sunTests(store),
  };
}
