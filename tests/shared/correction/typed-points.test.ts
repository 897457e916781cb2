import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { lineThrough, typedPoints } from "#shared/correction/typed-points.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { naturalCubic, naturalCubicAt } from "#shared/statistics/natural-cubic.ts";

/** Rising curves of 256 levels: a power with a bump, ends kept. */
const risingLevels = fc
  .record({
    gamma: fc.double({ min: 0.5, max: 2, noNaN: true }),
    bump: fc.double({ min: -0.12, max: 0.12, noNaN: true }),
  })
  .map(({ gamma, bump }) =>
    Array.from({ length: 256 }, (_, index) => {
      const share = index / 255;
      return (
        255 *
        (share ** gamma * (1 - Math.abs(bump)) + Math.abs(bump) * share + bump * Math.sin(Math.PI * share) ** 2 * 0.3)
      );
    }),
  );
const roaming = { seed: Number(process.env["FC_SEED"] ?? 20_260_501), numRuns: 40 };
const near = fc.constantFrom(0.5, 1, 2, 4);

describe("points to type", () => {
  it("for straight tools, are whole, rise, and their lines lie within what was asked", () => {
    fc.assert(
      fc.property(risingLevels, near, (levels, withinLevels) => {
        const { points, withinLevels: reached } = typedPoints(levels, { tool: "straight", withinLevels });
        expect(points.every(({ input, output }) => Number.isInteger(input) && Number.isInteger(output))).toBe(true);
        expect(points.every(({ input }, index) => index === 0 || input > points[index - 1]!.input)).toBe(true);
        const farthest = Math.max(...levels.map((level, input) => Math.abs(lineThrough(points, input) - level)));
        expect(farthest).toBeLessThanOrEqual(withinLevels + 1e-9);
        expect(reached).toBeCloseTo(farthest, 9);
      }),
      roaming,
    );
  });

  it("for smooth tools, hold for a natural cubic and for one without overshoot alike", () => {
    fc.assert(
      fc.property(risingLevels, fc.constantFrom(1, 2, 4), (levels, withinLevels) => {
        const { points, withinLevels: reached } = typedPoints(levels, { tool: "smooth", withinLevels });
        expect(points.every(({ input, output }) => Number.isInteger(input) && Number.isInteger(output))).toBe(true);
        const [x, y] = [points.map(({ input }) => input), points.map(({ output }) => output)];
        const [natural, monotone] = [naturalCubic(x, y), monotoneCubic(x, y)];
        for (let input = 0; input < 256; input++) {
          expect(Math.abs(naturalCubicAt(natural, input) - levels[input]!)).toBeLessThanOrEqual(reached + 1e-9);
          expect(Math.abs(monotoneCubicAt(monotone, input) - levels[input]!)).toBeLessThanOrEqual(reached + 1e-9);
        }
        expect(reached).toBeLessThanOrEqual(withinLevels);
      }),
      roaming,
    );
  });

  it("need two points for a straight curve, and more the nearer they shall come", () => {
    const straight = Array.from({ length: 256 }, (_, index) => index);
    expect(typedPoints(straight, { tool: "straight", withinLevels: 0.5 }).points).toHaveLength(2);
    expect(typedPoints(straight, { tool: "smooth", withinLevels: 0.5 }).points).toHaveLength(2);
    const bent = straight.map((level) => 255 * (level / 255) ** 1.8);
    const counts = [4, 2, 1, 0.5].map(
      (withinLevels) => typedPoints(bent, { tool: "straight", withinLevels }).points.length,
    );
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(counts[3]!).toBeGreaterThan(counts[0]!);
  });

  it("are as few as chords of a parabola can be", () => {
    // A chord over a run h of y = x^2/255 lies h^2/(4*255) above it at most; lines that may lie d to either side span
    // runs with h^2/(8*255) <= d: with d = 2 at most 63.9 levels, so four lines are needed (textbook).
    const parabola = Array.from({ length: 256 }, (_, index) => index ** 2 / 255);
    const { points } = typedPoints(parabola, { tool: "straight", withinLevels: 2 });
    expect(points.length - 1).toBeGreaterThanOrEqual(4);
    expect(points.length - 1).toBeLessThanOrEqual(5);
  });

  it("where the curve jumps, put a point on either side of the jump", () => {
    const jump = Array.from({ length: 256 }, (_, index) => (index === 0 ? 0 : 50 + (index * 205) / 255));
    const { points } = typedPoints(jump, { tool: "straight", withinLevels: 0.5 });
    expect(points.slice(0, 2)).toEqual([
      { input: 0, output: 0 },
      { input: 1, output: 51 },
    ]);
    expect(typedPoints(jump, { tool: "smooth", withinLevels: 2 }).withinLevels).toBeGreaterThan(0);
  });
});
