// What is said about a calibration that drifts or holds.
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { ApartReason } from "#shared/lookup/box-combinations.ts";
import type { Drift } from "#shared/lookup/drift.ts";

/** Why a test is not held against the others. */
export const apartWords: Readonly<Record<ApartReason, string>> = {
  "left-out": "left out by hand",
  "before-change": "made before a change that was noted",
  "other-distance": "made at another distance",
  "other-share": "made to another depth of blue",
  "same-picture": "the same picture as a newer test",
};

/** So few tests show only large changes. */
const fewTests = 5;

/** A difference that is shown as 0.0 is told as none [stops]. */
const leastToldStops = 0.05;

/** One or two sentences: whether the calibration still holds, and what to do. */
export function driftWords({ newestStops, doTestsDisagree, isNewestOdd, changedAt, tests }: Drift): string {
  const size = `${formatFixed(Math.abs(newestStops), 1)} stop ${newestStops > 0 ? "slower" : "faster"}`;
  const hint = tests.length < fewTests ? ` With ${tests.length} tests this is a hint only.` : "";
  if (doTestsDisagree)
    return (
      `The tests disagree by more than their own ranges and the usual scatter of prints allow; the newest is ${size} ` +
      "than the mean of the others. Repeat the test, and look for what changed between them: lamp, coating batch, " +
      "wash."
    );
  if (changedAt !== null)
    return (
      `The tests since ${formatDay(changedAt)} print at another speed than those before (the newest ` +
      `${size} than their mean), more than chance explains. What changed: tubes, bottle, batch, paper lot, distance, ` +
      "season? The time " +
      `holds to the newer tests.${hint}`
    );
  if (isNewestOdd)
    return (
      `The newest test is ${size} than the ones before, more than chance explains. What changed: tubes, bottle, ` +
      `batch, paper lot, distance, season? If nothing is known, repeat the test before costly work.${hint}`
    );
  if (Math.abs(newestStops) < leastToldStops)
    return `The tests agree with each other; the newest stands where the mean of the others does.${hint}`;
  return (
    `The tests agree with each other; the newest is ${size} than the mean of the others, which is within ` +
    `chance.${hint}`
  );
}
