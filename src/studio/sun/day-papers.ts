// The day's plan on paper and in a calendar.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { SunDayAnswer } from "#shared/schema/sun/day.ts";
import { dayCalendarTitles, dayPlanFooting, dayPlanHead } from "#shared/words/sun/sun-day-words.ts";
import { calendarFile } from "#src/output/calendar.ts";
import { dayPlanPdf } from "#src/output/day-plan.ts";

/** A calendar that calls for each frame, out and in. @param nowMs [ms of UTC] */
export function sunDayCalendar(answer: SunDayAnswer, nowMs: number): string {
  return calendarFile(
    answer.places.flatMap(({ name, frame, outAt, inAt }, index) => [
      {
        uid: `day-${answer.date}-${index}-out@wedgewright`,
        startMs: Date.parse(outAt),
        title: dayCalendarTitles.out(name, frame),
        isAlarm: true,
      },
      {
        uid: `day-${answer.date}-${index}-in@wedgewright`,
        startMs: Date.parse(inAt),
        title: dayCalendarTitles.in(name, frame),
        isAlarm: true,
      },
    ]),
    nowMs,
  );
}

/** The plan as a page to pin to the wall. */
export function sunDayPdf(answer: SunDayAnswer): Promise<Uint8Array> {
  return dayPlanPdf({
    title: dayPlanHead.title(formatDay(answer.date)),
    clock: dayPlanHead.clock(answer.timeZone),
    rows: answer.places.map(({ name, frame, outAt, inAt, seconds, lowerSeconds, upperSeconds }) => [
      outAt.slice(11, 16),
      inAt.slice(11, 16),
      name,
      String(frame),
      formatDuration(seconds),
      `${formatDuration(lowerSeconds ?? seconds)} to ` +
        `${upperSeconds === null ? "past sunset" : formatDuration(upperSeconds)}`,
      "",
    ]),
    leftOver: answer.leftOver.map(({ name, why }) => `${name}: ${why}`),
    footing: dayPlanFooting,
  });
}
