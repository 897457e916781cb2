// What was typed on a frame's card becomes changes of the frame.
import { InputError } from "#shared/errors.ts";
import type { SunFrame, SunFramePatch } from "#shared/schema/sun/frame.ts";
import {
  calendarDay,
  clockOfZone,
  clockTime,
  instantOf,
  isoInstant,
  type LocalClock,
} from "#shared/sun/local-clock.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

/** A press may come late, when the phone had no network; older ones are not believed [ms]. */
const latestPressMs = 6 * 3_600_000;

/** When a button was pressed [ms of UTC]: as the device says, if that is believable, else now. */
export function pressedAtMs(values: FormValues, nowMs: number): number {
  const said = numberOf(values, "at");
  return said !== undefined && said <= nowMs && said >= nowMs - latestPressMs ? said : nowMs;
}

/** An instant on the day on which the frame went out. @throws InputError that names the field */
function instantOn(frame: SunFrame, clock: LocalClock, time: string, field: string): string {
  const day = calendarDay(clock, Date.parse(frame.startedAt));
  try {
    return inPlainWords(() => isoInstant(clock, instantOf(clock, day, time.slice(0, 5))));
  } catch (cause) {
    if (!(cause instanceof InputError)) throw cause;
    throw new InputError("bad-request", `"${time}" is not a time of day: write it like 14:05.`, { field, cause });
  }
}

/** A field's time of day, unless it still shows what the frame has to the minute. */
function changedTime(
  frame: SunFrame,
  clock: LocalClock,
  { text, now, field }: { text: string; now: string | null; field: string },
): string | undefined {
  if (text === "" || (now !== null && clockTime(clock, Date.parse(now)) === text.slice(0, 5))) return undefined;
  return instantOn(frame, clock, text, field);
}

/**
 * Changes from the form "Set it right": start and end, a stretch of hidden sun, untimed cloud, a turn or glass, the
 * name.
 * @throws InputError that names the field
 */
export function changesOfForm(frame: SunFrame, values: FormValues): SunFramePatch {
  const clock = clockOfZone(frame.timeZone);
  const startedAt = changedTime(frame, clock, {
    text: textOf(values, "startTime"),
    now: frame.startedAt,
    field: "startTime",
  });
  const endedAt = changedTime(frame, clock, { text: textOf(values, "endTime"), now: frame.endedAt, field: "endTime" });
  const cloudMinutes = numberOf(values, "cloudMinutes");
  if (Number.isNaN(cloudMinutes))
    throw new InputError("bad-request", "Write the minutes of hidden sun as a number.", { field: "cloudMinutes" });
  return {
    ...(textOf(values, "name") === "" ? {} : { name: textOf(values, "name") }),
    ...(startedAt === undefined ? {} : { startedAt }),
    ...(endedAt === undefined ? {} : { endedAt }),
    ...(cloudMinutes === undefined ? {} : { cloudMinutes }),
    ...hiddenFrom(frame, clock, values),
    ...turnFrom(frame, clock, values),
  };
}

function hiddenFrom(frame: SunFrame, clock: LocalClock, values: FormValues): SunFramePatch {
  const [from, until] = [textOf(values, "hiddenFrom"), textOf(values, "hiddenUntil")];
  if (from === "" && until === "") return {};
  if (from === "" || until === "")
    throw new InputError("bad-request", "Hidden sun needs both times, from and until.", { field: "hiddenFrom" });
  const stretch = {
    fromAt: instantOn(frame, clock, from, "hiddenFrom"),
    untilAt: instantOn(frame, clock, until, "hiddenUntil"),
  };
  return { hidden: [...frame.hidden, stretch] };
}

function turnFrom(frame: SunFrame, clock: LocalClock, values: FormValues): SunFramePatch {
  const time = textOf(values, "turnFrom");
  const [tiltDegrees, facingDegrees] = [numberOf(values, "tiltDegrees"), numberOf(values, "facingDegrees")];
  const glass = textOf(values, "glass");
  if (tiltDegrees === undefined && facingDegrees === undefined && glass === "") return {};
  if (Number.isNaN(tiltDegrees) || Number.isNaN(facingDegrees))
    throw new InputError("bad-request", "Write tilt and facing as numbers of degrees.", { field: "tiltDegrees" });
  if (time === "") throw new InputError("bad-request", "Say from when on the frame lay so.", { field: "turnFrom" });
  const turn = {
    fromAt: instantOn(frame, clock, time, "turnFrom"),
    ...(tiltDegrees === undefined ? {} : { tiltDegrees }),
    ...(facingDegrees === undefined ? {} : { facingDegrees }),
    ...(glass === "" ? {} : { glass: glass === "yes" }),
  };
  return { turns: [...frame.turns, turn] };
}
