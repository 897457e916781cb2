import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { blendedLevels, movedLevels } from "#shared/correction/edited-curve.ts";

const straight = Array.from({ length: 256 }, (_, level) => level);
const curved = straight.map((level) => 20 + 200 * (level / 255) ** 0.7);
const isRising = (levels: readonly number[]) =>
  levels.every((level, i) => i === 0 || level >= (levels[i - 1] ?? 0) - 1e-9);

describe("movedLevels", () => {
  it("moves the named points by what was asked, keeps the ends, and fades between", () => {
    const moved = movedLevels(curved, [
      { level: 128, byLevels: 12 },
      { level: 64, byLevels: 5 },
    ]);
    expect((moved[128] ?? 0) - (curved[128] ?? 0)).toBeCloseTo(12, 9);
    expect((moved[64] ?? 0) - (curved[64] ?? 0)).toBeCloseTo(5, 9);
    expect([moved[0], moved[255]]).toEqual([curved[0], curved[255]]);
    const between = (moved[96] ?? 0) - (curved[96] ?? 0);
    expect(between).toBeGreaterThan(5);
    expect(between).toBeLessThan(12);
  });

  it("never falls and never leaves the ends, whatever is moved", () => {
    const move = fc.record({ level: fc.integer({ min: 1, max: 254 }), byLevels: fc.integer({ min: -128, max: 128 }) });
    fc.assert(
      fc.property(fc.array(move, { maxLength: 12 }), (moves) => {
        const moved = movedLevels(curved, moves);
        expect(isRising(moved)).toBe(true);
        expect(Math.min(...moved)).toBeGreaterThanOrEqual((curved[0] ?? 0) - 1e-9);
        expect(Math.max(...moved)).toBeLessThanOrEqual((curved[255] ?? 0) + 1e-9);
      }),
    );
  });
});

describe("blendedLevels", () => {
  it("lies between the two by its share, and rises where both rise", () => {
    expect(blendedLevels(straight, curved, 0)).toEqual(straight);
    const half = blendedLevels(straight, curved, 0.5);
    half.forEach((level, i) => expect(level).toBeCloseTo(((straight[i] ?? 0) + (curved[i] ?? 0)) / 2, 9));
    expect(isRising(half)).toBe(true);
  });
});
