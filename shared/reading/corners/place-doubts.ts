// What a reading says of its place, for whoever can move the corners.
import type { Warning } from "#shared/schema/reading.ts";

/** Warnings that other corners, or another count, may mend. */
const codes: ReadonlySet<string> = new Set([
  "corners-doubted",
  "corners-reordered",
  "corners-settled",
  "location-uncertain",
  "looks-like-other-count",
  "paper-falls-along",
  "strip-reversed",
]);

/** The sentences of a reading's warnings that are about where its strip lies, in their order. */
export const placeDoubts = (warnings: readonly Warning[]): string[] =>
  warnings.flatMap(({ code, message }) => (codes.has(code) ? [message] : []));
