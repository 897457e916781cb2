import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitLightField, type PaperCell } from "#shared/reading/light/light-field.ts";
import { oddSteps } from "#shared/reading/odd-steps.ts";
import { unevennessSigmas } from "#shared/reading/light/unevenness.ts";
import { noiseFrom } from "../../../support/pictures/strip-picture.ts";

/** Paper beside a strip, seen by the light of one small lamp at a place of its own (inverse square and cosines). */
function lampLight(lamp: { u: number; v: number; height: number }, u: number, v: number): number {
  const d2 = (u - lamp.u) ** 2 + (0.2 * (v - lamp.v)) ** 2 + lamp.height ** 2;
  return (0.7 * lamp.height ** 4) / d2 ** 2;
}
const cellsUnder = (lamp: { u: number; v: number; height: number }): PaperCell[] =>
  [-0.4, -0.2, 1.2, 1.4].flatMap((v) =>
    Array.from({ length: 21 }, (_, i) => {
      const u = (i + 0.5) / 21;
      const log = Math.log(lampLight(lamp, u, v));
      return { u, v, logLight: [log, log, log] as const, sigma: 0.001 };
    }),
  );

describe("fitLightField", () => {
  const lamps = fc.record({
    u: fc.double({ min: -0.5, max: 1.5, noNaN: true }),
    v: fc.double({ min: -3, max: 3, noNaN: true }),
    height: fc.double({ min: 1.2, max: 3, noNaN: true }),
  });

  it("under one lamp, gives the light inside the strip within 0.004 density", () => {
    fc.assert(
      fc.property(lamps, fc.double({ min: 0, max: 1, noNaN: true }), (lamp, u) => {
        const field = fitLightField(cellsUnder(lamp), { aspect: 0.2 });
        expect(Math.abs(field.logAt(u, 0.5)[0] - Math.log(lampLight(lamp, u, 0.5))) * Math.LOG10E).toBeLessThan(0.004);
      }),
      { seed: 8, numRuns: 60 },
    );
  });

  it("when a quarter of the patches is something else, is not moved by them", () => {
    const lamp = { u: 0.2, v: 1, height: 1.5 };
    const cells = cellsUnder(lamp).map((cell, i) =>
      i % 4 === 0
        ? { ...cell, logLight: [cell.logLight[0] - 0.3, cell.logLight[1] - 0.3, cell.logLight[2] - 0.3] as const }
        : cell,
    );
    expect(
      Math.abs(fitLightField(cells, { aspect: 0.2 }).logAt(0.5, 0.5)[0] - Math.log(lampLight(lamp, 0.5, 0.5))),
    ).toBeLessThan(0.01);
  });
});

describe("oddSteps", () => {
  const scale = Array.from({ length: 21 }, (_, i) => 1.4 / (1 + Math.exp(0.6 * (i - 9))));
  const sigmas = scale.map(() => 0.005);

  it("for a plain scale, and for one whose shoulder falls, finds none", () => {
    expect(oddSteps(scale, sigmas)).toEqual([]);
    expect(
      oddSteps(
        scale.map((density, i) => density - 0.3 * Math.exp(-i / 2)),
        sigmas,
      ),
    ).toEqual([]);
  });

  it("when a sticker covers one step, names it", () => {
    expect(
      oddSteps(
        scale.map((density, i) => (i === 6 ? 0.02 : density)),
        sigmas,
      ),
    ).toEqual([6]);
    expect(
      oddSteps(
        scale.map((density, i) => (i === 17 ? 1 : density)),
        sigmas,
      ),
    ).toEqual([17]);
  });
});

describe("unevennessSigmas", () => {
  it("when clouds grow with density, gives the standard deviation of the mean", () => {
    const random = noiseFrom(11);
    const share = 0.02;
    const steps = Array.from({ length: 200 }, (_, i) => {
      const density = (i % 20) / 14;
      return { density, blocks: Array.from({ length: 4 }, () => density + (0.002 + share * density) * random()) };
    });
    const sigmas = unevennessSigmas(steps);
    expect(sigmas[19]! / ((share * (19 / 14)) / 2)).toBeGreaterThan(0.75);
    expect(sigmas[19]! / ((share * (19 / 14)) / 2)).toBeLessThan(1.35);
    expect(sigmas[0]!).toBeLessThan(0.002);
  });
});
