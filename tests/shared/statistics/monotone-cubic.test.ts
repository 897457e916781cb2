import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";

const seed = Number(process.env["FC_SEED"] ?? 1);

describe("monotoneCubic", () => {
  // The example data of the published paper (its table of a rising function with flat stretches), from memory.
  const x = [7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20];
  const y = [0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.94374, 0.998636, 0.999919, 0.999994];
  it("passes through the points and never overshoots on the published example", () => {
    const curve = monotoneCubic(x, y);
    x.forEach((at, i) => expect(monotoneCubicAt(curve, at)).toBeCloseTo(y[i]!, 12));
    let before = -1e-12;
    for (let at = 7.99; at <= 20; at += 0.01) {
      const value = monotoneCubicAt(curve, at);
      expect(value).toBeGreaterThanOrEqual(before - 1e-12);
      expect(value).toBeLessThanOrEqual(0.999994 + 1e-12);
      before = value;
    }
  });
  it("rises wherever the points rise", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0.05, max: 2, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true })), {
          minLength: 2,
          maxLength: 20,
        }),
        (gaps) => {
          let at = 0;
          let value = 0;
          const points = gaps.map(([dx, dy]) => [(at += dx), (value += dy)] as const);
          const curve = monotoneCubic(
            points.map(([a]) => a),
            points.map(([, b]) => b),
          );
          let before = Number.NEGATIVE_INFINITY;
          for (let i = 0; i <= 200; i++) {
            const here = monotoneCubicAt(curve, points[0]![0] + ((at - points[0]![0]) * i) / 200);
            expect(here).toBeGreaterThanOrEqual(before - 1e-9);
            before = here;
          }
        },
      ),
      { seed, numRuns: 200 },
    );
  });
  it("with x that does not rise, refuses", () => expect(() => monotoneCubic([0, 0], [1, 2])).toThrow(RangeError));
});
