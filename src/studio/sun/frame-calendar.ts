import type { SunFrame } from "#shared/schema/sun/frame.ts";
import { frameReading } from "#shared/sun/frames/frame-record.ts";
import { clockOfZone, clockTime } from "#shared/sun/local-clock.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { bringInWords } from "#shared/words/sun/sun-calendar-words.ts";
import { calendarFile } from "#src/output/calendar.ts";

/**
 * The time to bring a frame in, as a calendar file that calls also while the phone is locked. It tells what was known
 * when it was made.
 * @param nowMs [ms of UTC]
 * @throws InputError "bad-request" when the frame is in, or will not have its light today
 */
export function frameCalendar(frame: SunFrame, nowMs: number): string {
  const { bringInMs, earliestMs, latestMs } = frameReading(frame, nowMs);
  if (frame.endedAt !== null || bringInMs === null) throw refusal("bad-request", { code: "frame-without-call" });
  const clock = clockOfZone(frame.timeZone);
  const at = (ms: number | null): string => (ms === null ? "sunset" : clockTime(clock, ms));
  const words = bringInWords(frame.name, { earliest: at(earliestMs), latest: at(latestMs), now: at(nowMs) });
  return calendarFile([{ uid: `frame-${frame.id}@wedgewright`, startMs: bringInMs, ...words, isAlarm: true }], nowMs);
}
