import { describe, expect, it } from "vitest";
import { seededRandom } from "#shared/statistics/random.ts";
import { usualPrintScatter } from "#shared/studio-model/usual-print-scatter.ts";
import { bestNextPrint } from "./best-next-print.ts";
import { bestRange } from "./best-rule.ts";
import { conditions } from "./conditions.ts";
import { narrowestHalfLogH } from "./narrowest-range.ts";
import { margins, simulatedPrint } from "./simulated-print.ts";

// The bench holds the program's ranges against these two, so they are held against what is known without them.
describe("the best rule for a strip", () => {
  // Linearised at the truth the same knowledge gives the same width, reckoned another way.
  it.each([
    ["independent errors", 0],
    ["a tablet off as a whole", 1],
    ["a coating gradient", 4],
  ])("told family and sizes, with %s, is as wide as the narrowest range that the truth allows", (_, k) => {
    const condition = conditions[k]!;
    const shares = [8, 9, 10, 11].map((seed) => {
      const print = simulatedPrint({ seed, families: ["gompertz"], condition, margin: margins.good });
      const coatings = [{ gradient: condition.gradient, bow: condition.bow, common: 1 }];
      const { lower, upper } = bestRange(print, { families: ["gompertz"], coatings, isBesideSeen: false });
      return (upper - lower) / 2 / narrowestHalfLogH(print, condition);
    });
    for (const share of shares) expect(Math.abs(share - 1)).toBeLessThan(0.25);
  });
});

describe("the best rule for the next print", () => {
  it("where the scatter is drawn as supposed, holds 95 of 100", () => {
    const random = seededRandom(7);
    const draws = 2000;
    let held = 0;
    for (let i = 0; i < draws; i++) {
      const scatter = usualPrintScatter.medianLogH * Math.exp(usualPrintScatter.logSigma * random.normal());
      const tests = [0.02, 0.05].map((sigma) => ({
        logSeconds: sigma * random.normal() + scatter * random.normal(),
        sigma,
      }));
      const { lower, upper } = bestNextPrint(tests, 0);
      const next = scatter * random.normal();
      if (lower <= next && next <= upper) held++;
    }
    // Chance makes half a per cent of such a count.
    expect(Math.abs((100 * held) / draws - 95)).toBeLessThan(1.5);
  });
});
