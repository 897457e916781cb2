import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  blurOfBoundaries,
  boundaryShifts,
  mostShiftSteps,
  type BoundaryProfile,
} from "#shared/reading/corners/boundary-shift.ts";
import { noiseFrom } from "../../../support/pictures/strip-picture.ts";

const bins = 48;
const reach = 0.55;

/** Profiles of a strip whose boundary k lies shift(k) steps beside its place, softened by a straight ramp. */
function profiles({
  steps,
  shift,
  contrast = 0.3,
  ramp = 0.04,
  noise = 0.01,
  seed = 3,
}: {
  steps: number;
  shift: (k: number) => number;
  contrast?: number;
  ramp?: number;
  noise?: number;
  seed?: number;
}): BoundaryProfile[] {
  const random = noiseFrom(seed);
  return Array.from({ length: steps - 1 }, (_, i) => ({
    k: i + 1,
    reach,
    logLight: Array.from({ length: bins }, (_, bin) => {
      const at = (((bin + 0.5) / bins) * 2 - 1) * reach - shift(i + 1);
      return contrast * Math.min(Math.max(at / ramp, -0.5), 0.5) + noise * random();
    }),
  }));
}

describe("boundaryShifts", () => {
  it("when cloth is stretched smoothly, follows its boundaries", () => {
    const shift = (k: number) => 0.25 * Math.sin((Math.PI * k) / 21);
    boundaryShifts(profiles({ steps: 21, shift }), 21).forEach((found, k) => {
      if (k > 0 && k < 21) expect(Math.abs(found - shift(k))).toBeLessThan(0.05);
    });
  });

  it("when nothing is seen, moves nothing", () => {
    expect(boundaryShifts(profiles({ steps: 21, shift: () => 0.2, contrast: 0 }), 21)).toEqual(
      Array.from({ length: 22 }, () => 0),
    );
  });

  it("when a hair lies beside one boundary, leaves that one out", () => {
    const found = boundaryShifts(profiles({ steps: 21, shift: (k) => (k === 9 ? -0.35 : 0.02) }), 21);
    expect(Math.abs(found[9]! - 0.02)).toBeLessThan(0.05);
  });

  it("never moves a boundary by more than a third of a step, whatever it sees", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: bins, maxLength: bins }),
        fc.integer({ min: 4, max: 31 }),
        (logLight, steps) => {
          const shifts = boundaryShifts(
            Array.from({ length: steps - 1 }, (_, i) => ({ k: i + 1, reach, logLight })),
            steps,
          );
          expect(shifts).toHaveLength(steps + 1);
          for (const shift of shifts) expect(Math.abs(shift)).toBeLessThanOrEqual(mostShiftSteps);
        },
      ),
      { seed: 5, numRuns: 40 },
    );
  });
});

describe("blurOfBoundaries", () => {
  /**
   * Boundaries blurred by four boxes in a row, which come close to a lens's blur of standard deviation `sigma` steps.
   */
  const blurred = (sigma: number): BoundaryProfile[] => {
    const random = noiseFrom(17);
    const offsets = Array.from({ length: 600 }, () => (sigma / 2) * (random() + random() + random() + random()));
    const tone = (x: number) => (0.3 * offsets.filter((offset) => offset < x).length) / offsets.length;
    const logLight = Array.from({ length: bins }, (_, bin) => tone((((bin + 0.5) / bins) * 2 - 1) * reach));
    return Array.from({ length: 20 }, (_, i) => ({ k: i + 1, reach, logLight }));
  };

  it.each([0.04, 0.08, 0.12, 0.16])(
    "when the blur is %f of a step, finds it within a third: it only feeds a warning",
    (sigma) => {
      expect(Math.abs(blurOfBoundaries(blurred(sigma))! / sigma - 1)).toBeLessThan(1 / 3);
    },
  );

  it("when no boundary is clear, says nothing", () => {
    expect(blurOfBoundaries(profiles({ steps: 21, shift: () => 0, contrast: 0 }))).toBeNull();
  });
});
