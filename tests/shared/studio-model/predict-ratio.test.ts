// How two boxes stand to each other: the same whichever way it is asked, narrower than their times taken one by one,
// and true to boxes that were made up with a known ratio.
import { describe, expect, it } from "vitest";
import type { Observation } from "#shared/studio-model/observation.ts";
import { predictRatio } from "#shared/studio-model/predict-ratio.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { plainObservation } from "../../support/studios/plain-observation.ts";

const dayMs = 86_400_000;

function test(at: number, lampId: string, supportId: string, logSeconds: number): Observation {
  return plainObservation({
    id: `t${at}`,
    lampId,
    supportId,
    atMs: at * dayMs,
    seen: { kind: "measured", logSeconds, sigma: 0.015 },
  });
}

const widthOf = ({ lower, upper }: { lower: number; upper: number }): number => upper - lower;
/** The second box takes twice as long, on both papers. */
const two = [
  test(0, "left", "rag", 2.5),
  test(1, "right", "rag", 2.8),
  test(2, "left", "wove", 2.7),
  test(3, "right", "wove", 3.0),
];

describe("predictRatio", () => {
  const fit = fitStudio(two);
  const [left, right] = [test(9, "left", "rag", 0), test(9, "right", "rag", 0)];

  it("finds the ratio of two tested boxes, and its inverse the other way round", () => {
    const over = predictRatio(fit, right, left);
    expect(over.logSeconds).toBeCloseTo(0.3, 2);
    const under = predictRatio(fit, left, right);
    expect(under.logSeconds).toBeCloseTo(-over.logSeconds, 6);
    expect(under.lower).toBeCloseTo(-over.upper, 6);
  });

  it("of a box to itself is one, without doubt", () => {
    expect(predictRatio(fit, left, left).logSeconds).toBeCloseTo(0, 6);
    expect(widthOf(predictRatio(fit, left, left))).toBeLessThan(1e-4);
  });

  it("on a paper tested in neither box is surer than the two times taken one by one", () => {
    const [leftNew, rightNew] = [test(9, "left", "new", 0), test(9, "right", "new", 0)];
    const apart = Math.hypot(
      widthOf(predictTime(fit, leftNew).calibration),
      widthOf(predictTime(fit, rightNew).calibration),
    );
    expect(widthOf(predictRatio(fit, rightNew, leftNew))).toBeLessThan(0.5 * apart);
  });

  it("takes in that the box passed over since its last test may have changed, and not a paper that both share", () => {
    const since = Array.from({ length: 20 }, (_, i) => test(4 + i, "right", i % 2 ? "rag" : "wove", i % 2 ? 2.8 : 3));
    const later = fitStudio([...two, ...since], [], { looksForChanges: false });
    const [leftNow, rightNow] = [test(30, "left", "rag", 0), test(30, "right", "rag", 0)];
    const asked = predictRatio(later, rightNow, leftNow);
    // Asked for the day of the left box's last test, no change since then is possible.
    const then = predictRatio(later, rightNow, test(2, "left", "rag", 0));
    expect(widthOf(asked)).toBeGreaterThan(1.5 * widthOf(then));
    expect(asked.logSeconds).toBeCloseTo(then.logSeconds, 2);
    expect(widthOf(predictRatio(later, leftNow, leftNow))).toBeLessThan(1e-4);
  });

  it("over studios made up as the model assumes, holds the true ratio about 95 times in a hundred", () => {
    const random = seededRandom(3);
    const studios = 60;
    let held = 0;
    for (let studio = 0; studio < studios; studio++) {
      const lamps = { left: 0.25 * random.normal(), right: 0.25 * random.normal() };
      const papers = { rag: 0.15 * random.normal(), wove: 0.15 * random.normal(), linen: 0.15 * random.normal() };
      const observations = Object.entries(papers).flatMap(([support, paper], i) =>
        Object.entries(lamps).map(([lamp, box], j) =>
          test(2 * i + j, lamp, support, 2.6 + box + paper + 0.03 * random.normal()),
        ),
      );
      const { lower, upper } = predictRatio(fitStudio(observations), right, left);
      if (lamps.right - lamps.left >= lower && lamps.right - lamps.left <= upper) held++;
    }
    expect(held).toBeGreaterThanOrEqual(53);
  }, 30_000);
});
