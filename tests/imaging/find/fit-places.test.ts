import { describe, expect, it } from "vitest";
import { fitPlaces } from "#src/imaging/find/fit-places.ts";
import type { Boundary, StepComb } from "#src/imaging/find/follow-boundaries.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const steps = 21;
const pitch = 20;
const grid = { start: 0, pitch, shrink: 0 };

/**
 * Boundaries from `first` to `last` on a course that bends by a share of the strip's length, seen with a scatter of 0.5
 * px.
 */
function combOf(
  first: number,
  last: number,
  bow: number,
  seed: number,
): { comb: StepComb; placeOf: (k: number) => number } {
  const random = seededRandom(seed);
  const placeOf = (k: number) => pitch * (k + bow * steps * 2 * (k / steps) * (1 - k / steps));
  const boundaries = Array.from({ length: last - first + 1 }, (_, i): Boundary => ({
    k: first + i,
    s: placeOf(first + i) + 0.5 * random.normal(),
    fall: 0.05,
    sigma: 0.5,
  }));
  return { comb: { grid, boundaries, noise: 0.002 }, placeOf };
}

const ask = { steps, startK: 0, expectedShrink: 0, shrinkSigma: 0, farS: null } as const;

describe("a leap among the boundaries", () => {
  const leapOf = (shift: number): number => {
    const { comb } = combOf(1, 20, 0, 5);
    const shifted = comb.boundaries.map((b) => (b.k <= 5 ? { ...b, s: b.s + shift * pitch } : b));
    return fitPlaces({ ...comb, boundaries: shifted }, { ...ask, end: null }).leapSteps();
  };

  it("of 0.4 step after the fifth of twenty is seen, though the course yields to it", () => {
    expect(leapOf(0.4)).toBeGreaterThan(0.16);
  });

  it("is not seen among boundaries that only scatter", () => {
    expect(leapOf(0)).toBeLessThan(0.06);
  });

  it("needs three boundaries on either side of it", () => {
    const { comb } = combOf(4, 8, 0, 5);
    expect(fitPlaces(comb, { ...ask, end: null }).leapSteps()).toBe(0);
  });
});

describe("the course of the boundaries", () => {
  it("when it bends as stretched cloth does, is followed to the unseen end within what is stated", () => {
    const standardised = Array.from({ length: 200 }, (_, seed) => {
      const { comb, placeOf } = combOf(2, 14, 0.007 * (seed % 2 === 0 ? 1 : -1), seed + 1);
      const end = fitPlaces(comb, { ...ask, end: { k: 0, s: 0 } }).at(steps);
      return (end.s - placeOf(steps)) / end.sigma;
    });
    const spread = Math.sqrt(standardised.reduce((sum, z) => sum + z * z, 0) / standardised.length);
    expect(spread).toBeGreaterThan(0.3);
    expect(spread).toBeLessThan(1.4);
  });

  it("is the less certain the fewer boundaries are seen", () => {
    const sigmas = [18, 14, 10, 6].map(
      (last) => fitPlaces(combOf(1, last, 0, 3).comb, { ...ask, end: { k: 0, s: 0 } }).at(steps).sigma,
    );
    expect(sigmas).toEqual([...sigmas].sort((a, b) => a - b));
    expect(sigmas.at(-1)!).toBeGreaterThan(3 * sigmas[0]!);
  });

  it("fits best with the end counted rightly", () => {
    const { comb, placeOf } = combOf(4, 16, 0.004, 5);
    const costs = [-1, 0, 1].map(
      (off) => fitPlaces(comb, { ...ask, startK: off, end: { k: off, s: placeOf(0) } }).cost,
    );
    expect(costs[1]!).toBeLessThan(Math.min(costs[0]!, costs[2]!) - 8);
  });

  it("when a supposed start leaves no boundary inside, is still given, at a higher cost", () => {
    const { comb } = combOf(2, 3, 0, 9);
    const wrong = fitPlaces(comb, { ...ask, startK: 30, end: { k: 30, s: 0 } });
    expect(Number.isFinite(wrong.at(steps).s)).toBe(true);
    expect(wrong.cost).toBeGreaterThan(fitPlaces(comb, { ...ask, end: { k: 0, s: 0 } }).cost);
    expect(Number.isFinite(fitPlaces(comb, { ...ask, startK: 30, end: null }).cost)).toBe(true);
  });

  it("when one boundary is the edge of something else, keeps to the others", () => {
    const { comb, placeOf } = combOf(1, 16, 0, 7);
    const boundaries = comb.boundaries.map((b) => (b.k === 9 ? { ...b, s: b.s + 7 } : b));
    expect(
      Math.abs(fitPlaces({ ...comb, boundaries }, { ...ask, end: { k: 0, s: 0 } }).at(steps).s - placeOf(steps)),
    ).toBeLessThan(0.15 * pitch);
  });
});
