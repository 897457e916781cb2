// One dose over a whole year: how long it takes at each hour in the middle of each month.
import { doseTable, secondsToDose, zenithAt } from "./dose.ts";
import { hiddenNodes, sunFreeUntilMs } from "./hidden-sun.ts";
import { dayStretch, instantOf, type LocalClock } from "./local-clock.ts";
import { readyScene, type SunScene } from "./sky/printing-strength.ts";
import { lowestUsefulHeightDegrees } from "./sun-day.ts";

/** A month, by its 15th day. */
export interface MonthOfExposures {
  /** 1 is January. */
  readonly month: number;
  /** Exposure for a print that goes out at each full hour 0 to 23 of the local clock [s]; null where there is none. */
  readonly secondsByHour: readonly (number | null)[];
}

const middleDay = 15;
const highestZenith = 90 - lowestUsefulHeightDegrees;

/**
 * Exposures by month and hour for one place and dose.
 * @param request.dose wanted [action-weighted J/m²]
 * @returns twelve months; a time is null where the sun stands under 10° at its start or end, or goes behind the scene's
 *   horizon before the print is done
 * Source: SunAnchor, SunJudgement for the lowest height.
 */
export function yearOfExposures(request: {
  readonly scene: SunScene;
  readonly clock: LocalClock;
  readonly dose: number;
  readonly year: number;
}): MonthOfExposures[] {
  const ready = readyScene(request.scene);
  return Array.from({ length: 12 }, (_, index): MonthOfExposures => {
    const day = `${request.year}-${String(index + 1).padStart(2, "0")}-${middleDay}`;
    const { fromMs, untilMs } = dayStretch(request.clock, day);
    const table = doseTable(ready, { startMs: fromMs, endMs: untilMs, stepSeconds: 300 });
    const hidden = hiddenNodes(table, ready);
    return {
      month: index + 1,
      secondsByHour: Array.from({ length: 24 }, (_hour, hour) => {
        const startMs = instantOf(request.clock, day, `${String(hour).padStart(2, "0")}:00`);
        if (zenithAt(table, startMs) > highestZenith) return null;
        const seconds = secondsToDose(table, { startMs, dose: request.dose });
        if (seconds === null || zenithAt(table, startMs + seconds * 1000) > highestZenith) return null;
        return startMs + seconds * 1000 > sunFreeUntilMs(table, startMs, hidden) ? null : seconds;
      }),
    };
  });
}
