import { describe, expect, it } from "vitest";
import { coatingGrainDensity, usualGrainDensity, withGrain } from "#shared/curve/coating-grain.ts";

const steps = Array.from({ length: 400 }, (_, i) => ({ sigma: i % 2 === 0 ? 0.006 : 0.02 }));

describe("grain of the coating", () => {
  it.each([0.003, 0.006, 0.012, 0.025])("is found again from many steps: %s", (grain) => {
    // Expected squares, so that the most likely grain is the true one but for the pull of what is usual.
    const found = coatingGrainDensity(
      steps,
      steps.map(({ sigma }) => sigma ** 2 + grain ** 2),
      1,
    );
    expect(found / grain).toBeGreaterThan(0.85);
    expect(found / grain).toBeLessThan(1.15);
  });
  it("is what is usual where a single step says little", () => {
    expect(coatingGrainDensity([{ sigma: 0.02 }], [0.0004], 1)).toBeCloseTo(usualGrainDensity, 2);
  });
  it("leaves the tablet's part of the variance as it was", () => {
    const step = { logH: 1, density: 1, sigma: 0.02, tabletVarianceShare: 0.5 };
    const grained = withGrain(step, 0.015, 1);
    expect(grained.sigma).toBeCloseTo(0.025, 12);
    expect(grained.tabletVarianceShare! * grained.sigma ** 2).toBeCloseTo(0.5 * 0.02 ** 2, 12);
  });
});
