// A queue of negatives laid over the sun of one day.
import type { SunDayAnswer, SunDayPlace, SunDayRequest } from "#shared/schema/sun/day.ts";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import { minutesToDose } from "#shared/sun/day-minutes.ts";
import { dayQueue, type QueueItem } from "#shared/sun/day-queue.ts";
import { doseTable, secondsToDose, type DoseTable } from "#shared/sun/dose.ts";
import { clockOfOffset, clockOfZone, isoInstant } from "#shared/sun/local-clock.ts";
import { readyScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { leftOverWords } from "#shared/words/sun/sun-day-words.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import type { Tools } from "#src/studio/tools.ts";
import { planSunExposure } from "./plan-sun-exposure.ts";

const minuteMs = 60_000;

interface Wanted {
  readonly name: string;
  readonly answer: SunExposureAnswer;
  readonly table: DoseTable;
}

/**
 * The day's plan: when each negative goes out and comes in, by number of frames and hands.
 * @throws InputError "bad-request" for an unknown anchor or zone
 */
export function planSunDay({ store }: Pick<Tools, "store">, request: SunDayRequest): SunDayAnswer {
  const { plan, negatives, ...means } = request;
  const { anchorTestId: _anchorTestId, dose: _dose, ...scene } = plan;
  const answers = negatives.map(({ name, ...scaledBy }) => ({
    name,
    answer: planSunExposure({ store }, { ...scene, anchorTestIds: [], anchorIds: [], ...scaledBy }),
  }));
  const [first] = answers;
  const startMs = Date.parse(plan.startAt);
  const { timeZone } = plan;
  const clock = timeZone === undefined ? clockOfOffset(plan.startAt) : inPlainWords(() => clockOfZone(timeZone));
  const untilAt = first?.answer.day.useful.findLast(({ untilAt: end }) => Date.parse(end) > startMs)?.untilAt ?? null;
  const untilMinute = untilAt === null ? 0 : Math.floor((Date.parse(untilAt) - startMs) / minuteMs);
  const tables = new Map<string, DoseTable>();
  const tableFor = ({ haze, sky, glass }: SunExposureAnswer): DoseTable => {
    const key = JSON.stringify([haze, sky, glass]);
    const table =
      tables.get(key) ??
      doseTable(readyScene(sceneFrom({ ...scene, haze, sky, glass })), {
        startMs,
        endMs: startMs + Math.max(1, untilMinute) * minuteMs,
        stepSeconds: 60,
      });
    tables.set(key, table);
    return table;
  };
  const wanted = answers
    .filter(({ answer }) => answer.dose !== null)
    .map(({ name, answer }): Wanted => ({ name, answer, table: tableFor(answer) }));
  const queue = wanted.map(({ name, answer, table }): QueueItem => ({
    name,
    minutesFrom: minutesToDose(table, answer.dose ?? Infinity),
  }));
  const { places, leftOver } = dayQueue(queue, { ...means, untilMinute });
  return {
    date: first?.answer.day.date ?? plan.startAt.slice(0, 10),
    timeZone: clock.name,
    untilAt,
    places: places.flatMap(({ item, outMinute, frame }): SunDayPlace[] => {
      const one = wanted[item];
      if (one === undefined) return [];
      const outMs = startMs + outMinute * minuteMs;
      const secondsTo = (dose: number | null): number | null =>
        dose === null ? null : secondsToDose(one.table, { startMs: outMs, dose });
      const seconds = secondsTo(one.answer.dose) ?? 0;
      return [
        {
          name: one.name,
          frame,
          outAt: isoInstant(clock, outMs),
          inAt: isoInstant(clock, outMs + seconds * 1000),
          seconds: Math.round(seconds),
          lowerSeconds: roundedOrNull(secondsTo(one.answer.lowerDose)),
          upperSeconds: roundedOrNull(secondsTo(one.answer.upperDose)),
        },
      ];
    }),
    leftOver: [
      ...leftOver.map((item) => ({ name: wanted[item]?.name ?? "", why: leftOverWords({ code: "does-not-fit" }) })),
      ...answers
        .filter(({ answer }) => answer.dose === null)
        .map(({ name, answer }) => ({
          name,
          why: leftOverWords({ code: "no-time", reason: answer.reasons[0] ?? null }),
        })),
    ],
  };
}

const roundedOrNull = (seconds: number | null): number | null => (seconds === null ? null : Math.round(seconds));
