// Even boundaries and stretched ones, on paper and on cloth.
import { describe, expect, it } from "vitest";
import { ofPaperOrCloth } from "#src/imaging/find/refined/paper-or-cloth.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const [clothSigma, paperSigma, noise] = [0.01, 0.0005, 0.0008];
const seenTo = 0.7;

/** Places of boundaries along the first part of a strip, with a bow of so much of its length. */
function fitted(bow: number) {
  const random = seededRandom(5);
  const us = Array.from({ length: 14 }, (_, i) => (seenTo * i) / 13);
  const rows = us.map((u) => [1 - u, u, 2 * u * (1 - u)]);
  const places = us.map((u) => u + 2 * bow * u * (1 - u) + noise * random.normal());
  const fit = (sigma: number) =>
    linearLeastSquares({
      design: [...rows, [0, 0, 1]],
      response: [...places, 0],
      sigma: [...us.map(() => noise), sigma],
    });
  const [paper, cloth] = [fit(paperSigma), fit(clothSigma)];
  const stretched = [cloth.coefficients[2]!];
  return ofPaperOrCloth({ paper, cloth, terms: [2], stretched, usualSigmas: [clothSigma] });
}

describe("paper or cloth", () => {
  it("when boundaries lie evenly, carries the unseen end on as of paper, and more surely than of cloth", () => {
    const { clothShare, coefficients, onPaper, onCloth } = fitted(0);
    expect(clothShare).toBeLessThan(0.2);
    expect(Math.abs(coefficients[1]! - 1)).toBeLessThan(0.002);
    expect(Math.sqrt(onPaper[1]![1]!)).toBeLessThan(0.5 * Math.sqrt(onCloth[1]![1]!));
  });

  it("when they are plainly stretched, takes it for cloth and puts the unseen end where the stretch leads", () => {
    const { clothShare, coefficients } = fitted(0.02);
    expect(clothShare).toBeGreaterThan(0.99);
    expect(Math.abs(coefficients[1]! - 1)).toBeLessThan(0.006);
  });

  it("whatever the boundaries, has a covariance that holds both fits", () => {
    for (const bow of [0, 0.002, 0.005]) {
      const { covariance, onPaper, onCloth, clothShare } = fitted(bow);
      expect(covariance[1]![1]).toBeCloseTo((1 - clothShare) * onPaper[1]![1]! + clothShare * onCloth[1]![1]!, 12);
    }
  });
});
