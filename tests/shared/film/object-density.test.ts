import { describe, expect, it } from "vitest";
import { densityAt } from "#shared/curve/curve-at.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { objectDensity } from "#shared/film/object-density.ts";

// The sigmoid of the worked ISO 6846-style example, moved to log H 2.0: D = 2 / (1 + exp(-4 (log H - 2))).
const blue = (logH: number): number => 2 / (1 + Math.exp(-4 * (logH - 2)));
const steps = Array.from({ length: 21 }, (_, index) => ({
  index: index + 1,
  logH: 3.4 - 0.15 * index,
  sigmaLogH: 0,
  density: blue(3.4 - 0.15 * index),
  sigma: 0.005,
  isFlagged: false,
}));
const curve = fitCharacteristicCurve({ channel: "red", steps });

describe("objectDensity", () => {
  it("when a leaf of density 0.45 was printed for ten minutes, finds its density and the longer times", () => {
    if (curve === null) throw new Error("no curve");
    const found = objectDensity({ curve, exposureSeconds: 600, printDensity: blue(Math.log10(600) - 0.45) });
    expect(found?.density).toBeCloseTo(0.45, 2);
    expect(found?.stops).toBeCloseTo(0.45 / Math.log10(2), 1);
    expect(Math.log10(found?.shoulderSeconds ?? 0)).toBeCloseTo((curve.points.shoulder?.logH ?? 0) + 0.45, 2);
    expect(densityAt(curve, Math.log10(found?.midSeconds ?? 1) - 0.45)).toBeCloseTo(0.6, 1);
  });

  it("when the print under it is paper white or as blue as it gets, tells nothing", () => {
    if (curve === null) throw new Error("no curve");
    expect(objectDensity({ curve, exposureSeconds: 600, printDensity: 0.01 })).toBeNull();
    expect(objectDensity({ curve, exposureSeconds: 600, printDensity: 1.99 })).toBeNull();
  });

  it("when a film lay over the tablet alone, counts it to the thing and leaves the times", () => {
    if (curve === null) throw new Error("no curve");
    const printDensity = blue(Math.log10(600) - 0.45);
    const bare = objectDensity({ curve, exposureSeconds: 600, printDensity });
    const withFilm = objectDensity({ curve, exposureSeconds: 600, printDensity, filmDensity: 0.12 });
    expect((withFilm?.density ?? 0) - (bare?.density ?? 0)).toBeCloseTo(0.12, 9);
    expect(withFilm?.midSeconds).toBe(bare?.midSeconds);
  });
});
