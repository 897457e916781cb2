// A box's way into use; the rules are ours, so the cases are written out one by one.
import { describe, expect, it } from "vitest";
import { commissioningDone } from "#shared/lamp/commissioning.ts";

const untested = { hasTime: false, testDistancesMm: [] };
const tubes = { kind: "tubes", distanceMm: 150 } as const;

describe("commissioningDone", () => {
  it("when a box has only a name, nothing is done", () => {
    expect(commissioningDone({ kind: "other" }, untested)).toEqual({
      described: false,
      evenness: false,
      "first-test": false,
      distance: false,
    });
  });

  it("is described with its kind and usual distance; sun and shade hang nowhere", () => {
    expect(commissioningDone(tubes, untested).described).toBe(true);
    expect(commissioningDone({ kind: "tubes" }, untested).described).toBe(false);
    expect(commissioningDone({ kind: "sun" }, untested).described).toBe(true);
    expect(commissioningDone({ kind: "shade" }, untested).described).toBe(true);
  });

  it("when tests stood at two distances, the distance is done; a test that says none stood at the usual one", () => {
    const done = (...testDistancesMm: (number | null)[]): boolean =>
      commissioningDone(tubes, { hasTime: true, testDistancesMm }).distance;
    expect(done(150, null)).toBe(false);
    expect(done(null, 300)).toBe(true);
  });

  it("when the distance was said not to vary, asks for no second one; unsaid is no answer", () => {
    expect(commissioningDone({ ...tubes, distanceVaries: false }, untested).distance).toBe(true);
    expect(commissioningDone({ ...tubes, distanceVaries: true }, untested).distance).toBe(false);
  });

  it("when a map was kept, evenness is done", () => {
    const evenness = { madeAt: "2026-05-01T10:00:00Z", rangeStops: 0.3, evenShare: 0.6 };
    expect(commissioningDone({ ...tubes, evenness }, untested).evenness).toBe(true);
  });
});
