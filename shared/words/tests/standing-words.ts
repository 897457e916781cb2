// What is said on a test's own page of the other tests of its combination.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";

export const leftOutWords = (reason: string): string => `It does not count in the times: ${reason}.`;

export const samePictureWords = (madeAt: string): string =>
  `The same picture stands in the test of ${formatDay(madeAt)} too; it counts once.`;

/** The time of the combination beside the test's own. */
export function togetherWords({
  tests,
  seconds,
  range,
}: {
  /** Tests that it rests on. */
  readonly tests: number;
  readonly seconds: number;
  readonly range: { readonly lowerSeconds: number; readonly upperSeconds: number } | null;
}): string {
  const next =
    range === null
      ? ""
      : ` (the next print between ${formatDuration(range.lowerSeconds)} and ${formatDuration(range.upperSeconds)})`;
  const basis = tests === 1 ? "With all that the studio knows beside this test" : `By all ${tests} tests together`;
  return `${basis}, this combination takes ${formatDuration(seconds)}${next}.`;
}
