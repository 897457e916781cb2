// An axis of days: ticks at round days, months or years, worded as briefly as their step allows.
import type { PlotAxis, PlotTick } from "./plot.ts";

const dayMs = 86_400_000;
const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/** Steps in days and in months, smallest first. */
const daySteps = [1, 2, 5, 10];
const monthSteps = [1, 2, 3, 6, 12, 24, 60, 120];
const mostTicks = 6;
/** Room at both ends, as a share of the whole. */
const margin = 0.04;

/**
 * An axis that holds all instants, in days since 1 January 1970 (UTC).
 * @param instants at least one [ms]
 * @throws RangeError when there is no finite one
 */
export function dayAxis(label: string, instants: readonly number[]): PlotAxis {
  const days = instants.filter((each) => Number.isFinite(each)).map((each) => each / dayMs);
  if (days.length === 0) throw new RangeError("An axis of days needs at least one instant.");
  const [low, high] = [Math.min(...days), Math.max(...days)];
  const room = Math.max(0.5, margin * (high - low));
  const [min, max] = [low - room, high + room];
  return { label, min, max, ticks: dayTicks(min, max), readAs: "days" };
}

/** A day in words: "12 Mar 2026". */
export function dayWords(day: number): string {
  const date = new Date(day * dayMs);
  return `${date.getUTCDate()} ${months[date.getUTCMonth()]!} ${date.getUTCFullYear()}`;
}

/** Ticks at round days, months or years between two days since 1 January 1970 (UTC). */
export function dayTicks(min: number, max: number): PlotTick[] {
  const dayStep = daySteps.find((step) => (max - min) / step <= mostTicks);
  if (dayStep !== undefined) {
    const first = Math.ceil(min / dayStep) * dayStep;
    return Array.from({ length: Math.floor((max - first) / dayStep) + 1 }, (_, i) => {
      const at = first + i * dayStep;
      const date = new Date(at * dayMs);
      return { at, label: `${date.getUTCDate()} ${months[date.getUTCMonth()]!}` };
    });
  }
  const monthStep = monthSteps.find((step) => (max - min) / (step * 30.44) <= mostTicks) ?? 120;
  const begin = new Date(min * dayMs);
  const firstMonth = Math.ceil((begin.getUTCFullYear() * 12 + begin.getUTCMonth() + 1) / monthStep) * monthStep;
  const ticks: PlotTick[] = [];
  for (let month = firstMonth; ; month += monthStep) {
    const [year, number] = [Math.floor(month / 12), month % 12];
    const at = Date.UTC(year, number, 1) / dayMs;
    if (at > max) return ticks;
    ticks.push({ at, label: monthStep >= 12 ? String(year) : `${months[number]!} ${year}` });
  }
}
