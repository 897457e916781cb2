import { describe, expect, it } from "vitest";
import { controlChart } from "#shared/statistics/control-chart.ts";

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 "Individuals control charts", flow-rate example: ten values,
// centre 50.81, limits 45.8159 and 55.8041 (values from memory, limits recomputed by hand from the mean moving range 1.8778).
const flowRates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

describe("controlChart", () => {
  it("when given the handbook's flow rates, gives the handbook's centre and limits", () => {
    const chart = controlChart(flowRates);
    expect(chart.centre).toBeCloseTo(50.81, 6);
    expect(chart.lower).toBeCloseTo(45.8159, 3);
    expect(chart.upper).toBeCloseTo(55.8041, 3);
    expect(chart.signal).toBeNull();
  });

  it("when the newest value lies outside the limits of the baseline, says so", () => {
    expect(controlChart([...flowRates, 57], { baseline: 10 }).signal).toBe("beyond-limits");
  });

  it("when two of the last three lie far on one side, says so, and not when they lie on both", () => {
    expect(controlChart([...flowRates, 54.5, 51, 54.5], { baseline: 10 }).signal).toBe("two-of-three");
    expect(controlChart([...flowRates, 54.5, 51, 47.2], { baseline: 10 }).signal).toBeNull();
  });

  it("when eight in a row lie above the centre, says so, and not with seven", () => {
    const above = Array.from({ length: 8 }, () => 51.2);
    expect(controlChart([...flowRates.slice(0, 5), ...above], { baseline: 5, leastSd: 2 }).signal).toBe("run");
    expect(controlChart([...flowRates.slice(0, 5), ...above.slice(1)], { baseline: 5, leastSd: 2 }).signal).toBeNull();
  });

  it("when the values hardly differ, never claims less spread than the measurement has", () => {
    expect(controlChart([1, 1, 1, 1], { leastSd: 0.02 }).sd).toBe(0.02);
  });

  it("when there is one value, refuses", () => {
    expect(() => controlChart([1])).toThrow(RangeError);
  });
});
