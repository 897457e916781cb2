import { secondsToDose, zenithAt, type DoseTable } from "./dose.ts";
import { lowestUsefulHeightDegrees } from "./sun-day.ts";

const minuteMs = 60_000;

/**
 * Minutes until a dose has fallen, for a print that goes out at each minute of a table: whole ones, rounded up.
 * @param table of the day, from the minute 0 of the plan
 * @param dose wanted [action-weighted J/m²]
 * @returns by the minute of going out; null where the sun stands under 10° at either end, or the dose is not reached
 * Source: SunJudgement for the lowest height.
 */
export function minutesToDose(table: DoseTable, dose: number): (startMinute: number) => number | null {
  const highestZenith = 90 - lowestUsefulHeightDegrees;
  const known = new Map<number, number | null>();
  const reckoned = (startMinute: number): number | null => {
    const startMs = table.startMs + startMinute * minuteMs;
    if (zenithAt(table, startMs) > highestZenith) return null;
    const seconds = secondsToDose(table, { startMs, dose });
    if (seconds === null || zenithAt(table, startMs + seconds * 1000) > highestZenith) return null;
    return Math.ceil(seconds / 60);
  };
  return (startMinute) => {
    const before = known.get(startMinute);
    if (before !== undefined) return before;
    const minutes = reckoned(startMinute);
    known.set(startMinute, minutes);
    return minutes;
  };
}
