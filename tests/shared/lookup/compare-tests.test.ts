import { describe, expect, it } from "vitest";
import { sameMaterial } from "../../bench/studio/same-material.ts";

describe("one material printed and tested twice", () => {
  it("is rarely called two, in time or in depth", () => {
    const { pairs, timesDiffer, maximaDiffer } = sameMaterial({
      count: 40,
      firstSeed: 1,
      printScatter: 0.03,
      printSpread: 0.036,
      depthScatter: 0.015,
    });
    expect(pairs).toBeGreaterThan(30);
    // 5 % of 40 and two standard deviations of that.
    expect(timesDiffer).toBeLessThanOrEqual(4);
    expect(maximaDiffer).toBeLessThanOrEqual(4);
  });

  it("is called two where prints scatter far more than the comparison was told", () => {
    const { pairs, timesDiffer } = sameMaterial({
      count: 40,
      firstSeed: 1,
      printScatter: 0.2,
      printSpread: 0.036,
      depthScatter: 0,
    });
    expect(timesDiffer / pairs).toBeGreaterThan(0.2);
  });
});
