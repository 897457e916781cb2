// What is said about a calibration that drifts or holds.
import type { Drift } from "#shared/lookup/drift.ts";

/** A moving-range spread from fewer tests says little, so the chart is only a hint. common practice, no source */
const fewTests = 5;

/** One or two sentences: whether the calibration still holds, and what to do. */
export function driftWords({ chart, newestStops, doTestsDisagree, tests }: Drift): string {
  const size = `${Math.abs(newestStops).toFixed(1)} stop ${newestStops > 0 ? "slower" : "faster"}`;
  const hint = tests.length < fewTests ? ` With ${tests.length} tests this is a hint only.` : "";
  switch (chart.signal) {
    case "beyond-limits":
      return `The newest test is ${size} than the ones before, more than chance explains. Repeat it; if it stays so, use the newest time and look for the cause: lamp, a new lot, humidity.${hint}`;
    case "two-of-three":
      return `Two of the last three tests lie far on one side (the newest ${size}). Repeat the test before costly work.${hint}`;
    case "run":
      return `The last tests all lie on one side of the earlier ones (the newest ${size}): the calibration is drifting. Use the newest time and test again soon.`;
    case null:
      if (doTestsDisagree)
        return `The tests disagree by more than their own ranges and the usual scatter of prints allow; the newest is ${size} than the mean of the others. Repeat the test, and look for what changed between them: lamp, coating batch, wash.`;
      return `The tests agree with each other; the newest is ${size} than the mean of the others, which is within chance.${hint}`;
  }
}
