// A curve as files to take away.
import { describe, expect, it } from "vitest";
import type { Curve } from "#shared/schema/curve.ts";
import { curveTable } from "#src/studio/tests/curve-files.ts";

const step = { index: 1, logH: 2.5, density: 1.2, sigma: 0.05, leftOut: null };
const curve = {
  steps: [step, { ...step, index: 2, density: 1.1, leftOut: "reversal" }],
  samples: [{ logH: 2.4, density: 1.15, lower: 1.1, upper: 1.2 }],
} as unknown as Curve;

describe("curveTable", () => {
  it("gives steps with their 95 % ranges, those that do not count with the reason, then the curve", () => {
    const [head, first = "", second = "", sample, ...rest] = curveTable(curve).trim().split("\r\n");
    expect(head).toBe("kind,step,log H,density,lower,upper,left out");
    const [kind, index, logH, density, lower, upper, leftOut] = first.split(",");
    expect([kind, index, logH, density, leftOut]).toEqual(["step", "1", "2.5", "1.2", ""]);
    // 95 % of a normal distribution lies within 1.959964 standard deviations (handbook tables).
    expect(Number(upper) - Number(lower)).toBeCloseTo(2 * 1.959964 * 0.05, 6);
    expect(second.split(",").at(-1)).toBe("reversal");
    expect(sample).toBe("curve,,2.4,1.15,1.1,1.2,");
    expect(rest).toEqual([]);
  });
});
