// From a witness strip's reading to doses: each step's depth, by the curve of a test of the same coating in the sun.
import type { Curve } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { logHAtDensity } from "#shared/curve/curve-at.ts";
import type { WitnessStep } from "#shared/sun/frames/witness-strip.ts";

/** Depths outside these shares of the net density tell a dose too vaguely. Our judgement. */
const toldShares = { least: 0.04, most: 0.96 } as const;
/**
 * Scatter of log H between two prints of one coating, which a strip shares with all its steps and cannot know of. From
 * memory: 0.01 to 0.05.
 */
const printSigmaLogH = 0.02;

/** The same as standard uncertainty of ln dose. */
export const witnessCommonSigmaLn = Math.LN10 * printSigmaLogH;

/** What one step's depth may differ from its neighbours' by its place in the coating, log H. Our judgement. */
const placeSigmaLogH = 0.01;

/** Whether the steps were uncovered one after the other and ended together, or began together and were covered. */
export type StripOrder = "uncovered" | "covered";

/**
 * Doses of a strip's steps.
 * @param strip.seconds of each step, in the order of the reading; the longest is the whole exposure
 * @param strip.startMs when the strip went out [ms of UTC]
 * @param by.dosePerSecond of the test that the curve comes from: its dose over its seconds [action-weighted W/m²]
 * @returns steps too pale or too dark to tell, and flagged ones, with dose null
 */
export function witnessSteps(
  strip: {
    readonly reading: Pick<Reading, "steps">;
    readonly seconds: readonly number[];
    readonly startMs: number;
    readonly order: StripOrder;
    readonly channel: "red" | "visual";
  },
  by: { readonly curve: Curve; readonly dosePerSecond: number },
): WitnessStep[] {
  const wholeMs = Math.max(...strip.seconds) * 1000;
  const { curve } = by;
  const net = curve.dMax - curve.dMin;
  return strip.reading.steps.flatMap((step, index): WitnessStep[] => {
    const seconds = strip.seconds[index];
    if (seconds === undefined) return [];
    const lateMs = strip.order === "uncovered" ? wholeMs - seconds * 1000 : 0;
    const span = { fromMs: strip.startMs + lateMs, untilMs: strip.startMs + lateMs + seconds * 1000 };
    const density = strip.channel === "red" ? step.red : step.visual;
    const sigma = strip.channel === "red" ? step.sigma : step.sigmaVisual;
    const share = (density - curve.dMin) / net;
    const isTold = step.flags.length === 0 && share > toldShares.least && share < toldShares.most;
    const logH = isTold ? logHAtDensity(curve, density) : null;
    if (logH === null) return [{ ...span, dose: null, sigmaLn: 1 }];
    const [below, above] = [density - sigma, density + sigma].map((each) => logHAtDensity(curve, each));
    const sides = [below, above]
      .filter((each) => each !== null && each !== undefined)
      .map((each) => Math.abs(each - logH));
    const sigmaLogH = Math.hypot(placeSigmaLogH, sides.length === 0 ? 0.1 : Math.max(...sides));
    return [{ ...span, dose: 10 ** logH * by.dosePerSecond, sigmaLn: Math.LN10 * sigmaLogH }];
  });
}
