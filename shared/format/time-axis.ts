// An axis of exposure times: equal factors of time lie equally far apart, ticks stand at times that a clock is set to.
import { formatDuration } from "./duration.ts";
import type { PlotAxis, PlotTick } from "./plot.ts";

/** Times that a clock is set to [s]. Common practice, no source. */
export const roundSeconds = [1, 2, 5, 10, 30, 60, 120, 300, 600, 1200, 3600, 7200, 18_000, 36_000, 86_400] as const;

/** Least part of the axis between two ticks, and what stays free at its ends. */
const leastGap = 0.08;
const margin = 0.03;

/**
 * An axis that holds all times; places on it are log10 of seconds.
 * @param logSeconds at least one [log10 of s]
 * @throws RangeError when there is no finite one
 */
export function timeAxis(label: string, logSeconds: readonly number[]): PlotAxis {
  const finite = logSeconds.filter((each) => Number.isFinite(each));
  if (finite.length === 0) throw new RangeError("An axis of times needs at least one time.");
  const [low, high] = [Math.min(...finite), Math.max(...finite)];
  const room = Math.max(0.05, margin * (high - low));
  const [min, max] = [low - room, high + room];
  return { label, min, max, ticks: timeTicks(min, max), readAs: "times" };
}

/** Ticks at round times between two ends [log10 of s]; at their own ends where no round time lies between. */
export function timeTicks(min: number, max: number): PlotTick[] {
  const ticks: PlotTick[] = [];
  for (const seconds of roundSeconds) {
    const at = Math.log10(seconds);
    const isClear = at - (ticks.at(-1)?.at ?? -Infinity) >= leastGap * (max - min);
    if (at >= min && at <= max && isClear) ticks.push({ at, label: formatDuration(seconds) });
  }
  return ticks.length > 1 ? ticks : [min, max].map((at) => ({ at, label: formatDuration(10 ** at) }));
}
