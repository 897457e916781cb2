// A time no finer than its range allows.
import { formatDuration } from "./duration.ts";

/** Grids that clocks are read by [s]. */
const grids = [1, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600];
/** Steps of the grid that the range must hold. */
const stepsWithin = 4;

/**
 * A time rounded so coarsely that its range holds only a few steps of it: what can honestly be set on a clock.
 * @param seconds [s], above 0
 * @param range lower and upper end [s]
 * @example
 * aboutTime(139, { lowerSeconds: 89, upperSeconds: 219 }) // => "2:30"
 */
export function aboutTime(
  seconds: number,
  { lowerSeconds, upperSeconds }: { readonly lowerSeconds: number; readonly upperSeconds: number },
): string {
  const most = (upperSeconds - lowerSeconds) / stepsWithin;
  const grid = grids.filter((step) => step <= most).at(-1) ?? 1;
  return formatDuration(Math.max(grid, Math.round(seconds / grid) * grid));
}
