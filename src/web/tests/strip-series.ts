// Doubling series that are offered for strips uncovered in steps, with the moves of the cover that make them.
import { formatDuration } from "#shared/format/duration.ts";
import { doublingSeries, waitsFromTotals } from "#shared/tablet/timed-strip.ts";

export interface StripSeries {
  readonly key: string;
  readonly label: string;
  /** Total seconds of each step, longest first. */
  readonly seconds: readonly number[];
  /** Waits between one move of the cover and the next, in words. */
  readonly waits: string;
}

/** Whole-stop and half-stop series for fast and slow light. common practice, no source */
const offered = [
  { key: "960-8-1", longestSeconds: 960, steps: 8, stops: 1 },
  { key: "1920-6-1", longestSeconds: 1920, steps: 6, stops: 1 },
  { key: "1800-10-0.5", longestSeconds: 1800, steps: 10, stops: 0.5 },
  { key: "3600-9-1", longestSeconds: 3600, steps: 9, stops: 1 },
  { key: "7200-12-0.5", longestSeconds: 7200, steps: 12, stops: 0.5 },
] as const;

export const stripSeries: readonly StripSeries[] = offered.map(({ key, ...shape }) => {
  const seconds = doublingSeries(shape);
  return {
    key,
    seconds,
    label:
      `${formatDuration(seconds[0] ?? 0)} down to ${formatDuration(seconds.at(-1) ?? 0)}, ${shape.steps} steps ` +
      `${shape.stops === 1 ? "each half of the one before" : "half a stop apart"}`,
    // The shortest step is covered first, so the waits are told from the end of the series.
    waits: waitsFromTotals(seconds).reverse().map(formatDuration).join(", "),
  };
});
