import { describe, expect, it } from "vitest";
import { fewRunsProbability } from "#shared/statistics/runs-test.ts";

describe("fewRunsProbability", () => {
  it("is small for one long swing and large for alternating signs", () => {
    expect(fewRunsProbability([1, 1, 1, 1, 1, -1, -1, -1, -1, -1])).toBeLessThan(0.01);
    expect(fewRunsProbability([1, -1, 1, -1, 1, -1, 1, -1, 1, -1])).toBeGreaterThan(0.95);
  });
});
