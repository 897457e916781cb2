import { describe, expect, it } from "vitest";
import {
  askBelow,
  besideRival,
  confidenceInOtherLight,
  confidenceWithoutEnd,
  identityConfidence,
  placementConfidence,
  pooledConfidence,
  warnBelow,
  type FindingEvidence,
} from "#shared/reading/corners/finding-confidence.ts";

const sure: FindingEvidence = {
  boundaries: 12,
  boundariesBeyond: 0,
  gapShare: 0,
  residualSteps: 0.03,
  leapSteps: 0.03,
  bowSigmas: 0.5,
  edgeSupport: 0.95,
  countMargin: 6,
  unexplained: 1,
  foretoldSigmaSteps: 0.1,
  foretoldOffSteps: 0.05,
  rowShare: 1,
  besideShare: 0,
  besideTone: 0.02,
  cornerSigmaSteps: 0.05,
  fallingShare: 1,
  fall: 0.9,
  edgeStrength: 0.15,
};

describe("the confidence in a found strip", () => {
  it("when everything speaks for it, needs no look", () => {
    expect(identityConfidence(sure, 21) * placementConfidence(sure, 21)).toBeGreaterThan(warnBelow);
  });

  it.each([
    ["counting one step further fits as well", { countMargin: 0 }],
    ["every second boundary is missing", { gapShare: 0.5 }],
    ["most cells look like no step of a strip", { unexplained: 15 }],
    ["the end it counts from lies a long unseen stretch away", { foretoldSigmaSteps: 1 }],
    ["next to a long edge no boundary is seen", { rowShare: 0 }],
    ["beside it the boundaries go on", { besideShare: 1 }],
    ["a long edge wanders as a brush does", { edgeSupport: 0.2 }],
    ["the steps do not fall", { fallingShare: 0.6 }],
    ["hardly anything falls", { fall: 0.1 }],
  ] as const)("when %s, asks for the corners", (_what, doubt) => {
    expect(identityConfidence({ ...sure, ...doubt }, 21)).toBeLessThan(askBelow);
  });

  it("of a count by an end foretold to 0.4 step and seen midway between two is even odds", () => {
    const midway = { ...sure, foretoldSigmaSteps: 0.4, foretoldOffSteps: 0.5 };
    // Less a little for the end a step further out.
    expect(identityConfidence(midway, 21) / identityConfidence(sure, 21)).toBeCloseTo(0.5, 1);
  });

  it("of a place told apart on paper and on cloth is the mean of both, as each is likely", () => {
    const onPaper = { cornerSigmaSteps: 0.25, boundaries: 40 };
    const either = { ...onPaper, cloth: { share: 0.3, cornerSigmaSteps: 0.5 } };
    // 0.9545 and 0.6827: the normal distribution within two and one standard deviations, any handbook table.
    expect(placementConfidence(either, 41)).toBeCloseTo(0.7 * 0.9545 + 0.3 * 0.6827, 4);
  });

  it("of an end sure to half a step is the share within one sigma, 68 %, less what a seen end leaves open", () => {
    // 0.6827: the normal distribution within one standard deviation, any handbook table.
    expect(placementConfidence({ cornerSigmaSteps: 0.5, boundaries: 40 }, 41)).toBeLessThan(0.6827);
    expect(placementConfidence({ cornerSigmaSteps: Math.sqrt(0.25 - 0.06 ** 2), boundaries: 40 }, 41)).toBeCloseTo(
      0.6827,
      3,
    );
  });

  it("of a strip of few, wide steps asks for 2 % of its length instead", () => {
    expect(placementConfidence({ cornerSigmaSteps: Math.sqrt(0.2 ** 2 - 0.06 ** 2), boundaries: 9 }, 10)).toBeCloseTo(
      0.6827,
      3,
    );
  });

  it("is less where more of the strip lies beyond the last boundary that is seen", () => {
    const seen = (boundaries: number) => placementConfidence({ cornerSigmaSteps: 0.1, boundaries }, 21);
    expect(seen(8)).toBeLessThan(seen(20));
    expect(seen(25)).toBe(seen(20));
  });

  it.each([
    ["the boundaries bend away from what the long edges foretell", { bowSigmas: 3 }],
    ["some of them leap against the others, as numbers' edges do", { leapSteps: 0.2 }],
    ["tones beside a long edge follow those of the steps", { besideTone: 0.5 }],
  ] as const)("needs a look where %s", (_what, doubt) => {
    const doubted = { ...sure, ...doubt };
    expect(identityConfidence(doubted, 21) * placementConfidence(doubted, 21)).toBeLessThan(warnBelow);
  });

  it("beside an equal rival is two thirds, the rival half as likely to be meant, and alone stays as it is", () => {
    expect(besideRival(1, 1)).toBeCloseTo(2 / 3, 12);
    expect(besideRival(0.97, 0)).toBeCloseTo(0.97, 12);
    expect(besideRival(0.95, 0.6)).toBeLessThan(warnBelow);
  });

  it("of two looks lies between them by the mean of their log odds, and is never sure where one finds nothing", () => {
    expect(pooledConfidence(0.9, 0.9)).toBeCloseTo(0.9, 12);
    // Odds of 4 and of 1: their geometric mean is 2.
    expect(pooledConfidence(0.8, 0.5)).toBeCloseTo(2 / 3, 12);
    expect(pooledConfidence(1, 0.5)).toBe(0.5);
    expect(pooledConfidence(1, 0)).toBe(0);
    expect(pooledConfidence(0.99, 0.5)).toBeLessThan(warnBelow);
  });

  it("of a place that comes again in other light is more, and of one that wanders off less", () => {
    expect(confidenceInOtherLight(0.9, sure, [0.001, 0.002])).toBeGreaterThan(warnBelow);
    expect(confidenceInOtherLight(0.9, sure, [0.02, 0.04])).toBeLessThan(0.8);
    expect(confidenceInOtherLight(0.9, sure, [0.001, Infinity])).toBeLessThan(0.9);
  });

  it("of a place that nothing else was looked at for stays what it was", () => {
    expect(confidenceInOtherLight(0.7, sure, [])).toBe(0.7);
  });

  it("of a place that comes again, counted by an end seen midway between two, stays to be looked at", () => {
    const midway = { foretoldSigmaSteps: 0.4, foretoldOffSteps: 0.5 };
    expect(confidenceInOtherLight(0.6, midway, [0, 0])).toBeLessThan(0.75);
  });

  it("of a place that shows neither end is to be looked at, and asked for unless all else speaks for it", () => {
    expect(confidenceWithoutEnd(0.98)).toBeLessThan(warnBelow);
    expect(confidenceWithoutEnd(0.98)).toBeGreaterThan(askBelow);
    expect(confidenceWithoutEnd(0.8)).toBeLessThan(askBelow);
    expect(confidenceWithoutEnd(1)).toBe(1);
  });
});
