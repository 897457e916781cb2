// The day under the sun as two plots: how strong it prints, and how long it takes.
import { plotAxis, type PlotAxis, type PlotSpec, type PlotTick } from "#shared/format/plot.ts";
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatShare } from "#shared/format/number.ts";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import { clockTime, type LocalClock } from "#shared/sun/local-clock.ts";

const hourMs = 3_600_000;
/** Minutes past the hour of an instant, by its own offset. */
const clockMinutes = (instant: string): number => Number(instant.slice(14, 16));
/** Times longer than this many times the day's shortest are off the plot; the table has them. */
const shownTimes = 4;

/** Hours between two labels, so that they do not crowd. */
function hourStep(hours: number): number {
  if (hours > 16) return 4;
  return hours > 7 ? 2 : 1;
}

/** The axis of a day's hours, labelled by the wall clock, also on a day on which the clocks change. */
export function hourAxis(
  answer: SunExposureAnswer,
  clock: LocalClock,
): { axis: PlotAxis; hourOf: (instant: string) => number } {
  const first = answer.series[0]?.at ?? answer.startAt;
  const last = answer.series.at(-1)?.at ?? answer.startAt;
  const from = Date.parse(first) - clockMinutes(first) * 60_000;
  const hours = Math.max(1, Math.ceil((Date.parse(last) - from) / hourMs));
  const step = hourStep(hours);
  const ticks: PlotTick[] = [];
  for (let hour = 0; hour <= hours; hour += 1) {
    const label = clockTime(clock, from + hour * hourMs);
    if (Number(label.slice(0, 2)) % step === 0) ticks.push({ at: hour, label });
  }
  return {
    axis: { label: `time of day (${clock.name.replaceAll("_", " ")})`, min: 0, max: hours, ticks },
    hourOf: (instant) => (Date.parse(instant) - from) / hourMs,
  };
}

/** How strong the sun prints over the day, relative to the day's best. */
export function strengthPlot(answer: SunExposureAnswer, clock: LocalClock): PlotSpec {
  const { axis, hourOf } = hourAxis(answer, clock);
  const start = hourOf(answer.startAt);
  const window = answer.day.bestWindow;
  return {
    title: "Strength over the day",
    summary:
      window === null
        ? "How strongly clear sky prints on this frame, relative to the best of the day."
        : "How strongly clear sky prints on this frame, relative to the best of the day. Above 90 % from " +
          `${window.fromAt.slice(11, 16)} to ${window.untilAt.slice(11, 16)}.`,
    x: axis,
    y: {
      label: "strength, % of the day's best",
      min: 0,
      max: 100,
      ticks: [0, 25, 50, 75, 100].map((at) => ({ at, label: String(at) })),
    },
    series: [
      {
        name: "clear sky on this frame",
        kind: "line",
        look: 1,
        points: answer.series.map((point) => ({ x: hourOf(point.at), y: point.strengthShare * 100 })),
      },
      {
        name: "each hour, with its time",
        kind: "points",
        look: 1,
        points: answer.series
          .filter((point) => clockMinutes(point.at) === 0)
          .map((point) => ({
            x: hourOf(point.at),
            y: point.strengthShare * 100,
            leftOut: point.seconds === null,
            label:
              `${point.at.slice(11, 16)}: ${formatShare(point.strengthShare)}` +
              (point.seconds === null ? "" : `, ${formatDuration(point.seconds)}`),
          })),
      },
    ],
    lines: start >= axis.min && start <= axis.max ? [{ x: start, label: answer.startAt.slice(11, 16) }] : [],
  };
}

/**
 * How long an exposure takes that starts at each time of the day; null on a day or without an anchor when there is
 * none.
 */
export function timePlot(answer: SunExposureAnswer, clock: LocalClock): PlotSpec | null {
  const timed = answer.series.flatMap((point) =>
    point.seconds === null
      ? []
      : [
          {
            at: point.at,
            seconds: point.seconds,
            lower: point.lowerSeconds ?? point.seconds,
            upper: point.upperSeconds ?? point.seconds,
          },
        ],
  );
  if (timed.length < 2) return null;
  const quickest = timed.reduce((least, point) => (point.seconds < least.seconds ? point : least));
  const shortest = quickest.seconds;
  const shown = timed.filter((point) => point.seconds <= shortest * shownTimes);
  const { axis, hourOf } = hourAxis(answer, clock);
  const unit = shortest * shownTimes > 240 ? { seconds: 60, label: "minutes" } : { seconds: 1, label: "seconds" };
  const y = plotAxis(
    `exposure, ${unit.label}`,
    shown.map((point) => Math.min(point.upper, shortest * shownTimes) / unit.seconds),
    { from: 0 },
  );
  const start = hourOf(answer.startAt);
  return {
    title: "Exposure at each hour",
    summary:
      "How long a print takes that goes out at that time, with its 95 % range. The shortest takes " +
      `${spokenDuration(shortest)}, for a print that goes out at ${quickest.at.slice(11, 16)}.`,
    x: axis,
    y,
    series: [
      {
        name: "95 % range",
        kind: "band",
        look: 1,
        points: shown.map((point) => ({
          x: hourOf(point.at),
          y: point.seconds / unit.seconds,
          lower: point.lower / unit.seconds,
          upper: Math.min(point.upper / unit.seconds, y.max),
        })),
      },
      {
        name: "exposure",
        kind: "line",
        look: 1,
        points: shown.map((point) => ({ x: hourOf(point.at), y: point.seconds / unit.seconds })),
      },
    ],
    lines: start >= axis.min && start <= axis.max ? [{ x: start, label: answer.startAt.slice(11, 16) }] : [],
  };
}
