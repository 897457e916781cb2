import { describe, expect, it } from "vitest";
import { tabletFromPrints } from "#shared/film/tablet-from-prints.ts";
import { seededRandom } from "#shared/statistics/random.ts";

// A tablet whose densities in ultraviolet are 1.04 times the label and 0.03 more, on a logistic coating, worked by
// hand.
const [scale, base] = [1.04, 0.03];
const labels = Array.from({ length: 21 }, (_, i) => 0.05 + 0.15 * i);
const coating = (logH: number) => 0.01 + 1.5 / (1 + Math.exp(-4.5 * (logH - 1.4)));
const print = (seconds: number, noise = () => 0) => ({
  seconds,
  densities: labels.map((label) => coating(Math.log10(seconds) - base - scale * label) + noise()),
});
const strip = (noise = () => 0) =>
  [10, 15, 20, 30, 40, 60, 80].map((seconds) => ({ seconds, density: coating(Math.log10(seconds)) + noise() }));

describe("a tablet measured by its prints", () => {
  it("at t and 2 t, finds its scale exactly where nothing is off", () => {
    const found = tabletFromPrints({ labels, exposures: [print(200), print(400)], timed: [], sigmaDensity: 0.01 })!;
    expect(Math.abs(found.scale - scale)).toBeLessThan(1e-6);
    expect(found.base).toBeNull();
  });

  it("beside a timed strip, finds scale and base exactly where nothing is off", () => {
    const found = tabletFromPrints({ labels, exposures: [print(400)], timed: strip(), sigmaDensity: 0.01 })!;
    expect(Math.abs(found.scale - scale)).toBeLessThan(1e-6);
    expect(Math.abs(found.base! - base)).toBeLessThan(1e-6);
  });

  it("with the scatter of real prints, holds the truth within its uncertainty", () => {
    const misses = Array.from({ length: 40 }, (_, seed) => {
      const random = seededRandom(9000 + seed);
      const noise = () => 0.01 * random.normal();
      const exposures = [print(200, noise), print(400, noise)];
      const found = tabletFromPrints({ labels, exposures, timed: strip(noise), sigmaDensity: 0.01 })!;
      return [(found.scale - scale) / found.scaleSigma, (found.base! - base) / found.baseSigma!];
    });
    // Within two standard uncertainties 38 of 40 are expected; 34 or fewer is rarer than once in a hundred.
    expect(misses.filter(([z]) => Math.abs(z!) < 2).length).toBeGreaterThan(34);
    expect(misses.filter(([, z]) => Math.abs(z!) < 2).length).toBeGreaterThan(34);
  });

  it("where the prints show no rise, tells nothing or says how little it knows", () => {
    const flat = { seconds: 10, densities: labels.map(() => 0.01) };
    const found = tabletFromPrints({
      labels,
      exposures: [flat, { ...flat, seconds: 20 }],
      timed: [],
      sigmaDensity: 0.01,
    });
    expect(found === null || found.scaleSigma > 0.2).toBe(true);
  });
});
