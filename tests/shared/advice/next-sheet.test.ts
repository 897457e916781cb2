import { describe, expect, it } from "vitest";
import { mostTelling, narrowings, type SourceVariances } from "#shared/advice/next-sheet.ts";

const usual: SourceVariances = {
  steps: 0.0004,
  "tablet-steps": 0.0001,
  "tablet-scale-and-base": 0.0002,
  "coating-gradient": 0.0004,
  "curve-shape": 0.0002,
};
const choices = (variances: SourceVariances, printVariance = 0.0016, tabletScaleShare = 0.7) =>
  narrowings({ variances, printVariance, tabletScaleShare });
const best = (variances: SourceVariances, printVariance?: number) =>
  mostTelling(choices(variances, printVariance), { canCalibrate: true })?.what;

describe("what tells most next", () => {
  it("where prints scatter and nothing else does, halves the calibration's variance by another day", () => {
    const another = choices({}, 0.01).find(({ what }) => what === "another-day")!;
    // Two prints' worth of scatter becomes one and a half: half a bit times log2(4/3).
    expect(another.bits).toBeCloseTo(0.5 * Math.log2(2 / 1.5), 10);
    expect(another.widthShare).toBeCloseTo(Math.sqrt(0.75), 10);
    expect(best({}, 0.01)).toBe("another-day");
  });

  it("where the tablet's scale rules, calibrates the tablet", () => {
    expect(best({ ...usual, "tablet-scale-and-base": 0.01 })).toBe("calibrate-tablet");
  });

  it("where the coating's slope rules, coats wider than the tablet, or lays two strips head to tail", () => {
    expect(best({ ...usual, "coating-gradient": 0.01 })).toBe("coat-wider");
    const seen = mostTelling(choices({ ...usual, "coating-gradient": 0.01 }), {
      canCalibrate: true,
      canCoatWider: false,
    });
    expect(seen?.what).toBe("head-to-tail");
  });

  it("where the camera rules, asks for grey patches rather than for a sheet", () => {
    expect(best({ ...usual, camera: 0.01 })).toBe("grey-patches");
  });

  it("without a film tablet, never asks to calibrate one", () => {
    const all = choices({ ...usual, "tablet-scale-and-base": 0.01 });
    expect(mostTelling(all, { canCalibrate: false })?.what).not.toBe("calibrate-tablet");
  });

  it("never promises a wider range, and another day is worth more than today", () => {
    for (const { widthShare } of choices(usual)) expect(widthShare).toBeLessThanOrEqual(1);
    const share = (what: string) => choices(usual).find((each) => each.what === what)!.widthShare;
    expect(share("another-day")).toBeLessThan(share("repeat-today"));
  });

  it("where nothing is in doubt, says nothing", () => {
    expect(mostTelling(choices({}, 0), { canCalibrate: true })).toBeNull();
  });
});
