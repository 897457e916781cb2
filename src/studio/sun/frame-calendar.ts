import { InputError } from "#shared/errors.ts";
import type { SunFrame } from "#shared/schema/sun-frame.ts";
import { frameReading } from "#shared/sun/frame-record.ts";
import { clockOfZone, clockTime } from "#shared/sun/local-clock.ts";
import { calendarFile } from "#src/output/calendar.ts";

/**
 * The time to bring a frame in, as a calendar file that calls also while the phone is locked. It tells what was known
 * when it was made.
 * @param nowMs [ms of UTC]
 * @throws InputError "bad-request" when the frame is in, or will not have its light today
 */
export function frameCalendar(frame: SunFrame, nowMs: number): string {
  const { bringInMs, earliestMs, latestMs } = frameReading(frame, nowMs);
  if (frame.endedAt !== null || bringInMs === null)
    throw new InputError(
      "bad-request",
      "There is no time to call at: the frame is in, or the light does not suffice today.",
    );
  const clock = clockOfZone(frame.timeZone);
  const at = (ms: number | null): string => (ms === null ? "sunset" : clockTime(clock, ms));
  return calendarFile(
    [
      {
        uid: `frame-${frame.id}@wedgewright`,
        startMs: bringInMs,
        title: `Bring in: ${frame.name}`,
        text:
          `Between ${at(earliestMs)} and ${at(latestMs)}, as reckoned at ${clockTime(clock, nowMs)}. ` +
          "Hidden sun after that makes it later.",
        isAlarm: true,
      },
    ],
    nowMs,
  );
}
