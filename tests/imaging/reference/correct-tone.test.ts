import { describe, expect, it } from "vitest";
import { homographyFromCorners, inverseHomography } from "#shared/reading/corners/homography.ts";
import type { ReadingRequest } from "#shared/schema/reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { isOnCard } from "#src/imaging/reference/light-on-patches.ts";
import { densityOverPaper } from "../../support/film-over-paper.ts";
import { randomScene } from "../../../samples/render/random-scene.ts";
import { renderScene } from "../../../samples/render/render-scene.ts";
import { pictureFile } from "../../../samples/render/write-picture.ts";

const rendered = renderScene(
  randomScene(4712, { kind: "toned-photo", megapixels: 2, exposed: "well", clutter: false }),
);
const { truth } = rendered;
const picture = await pictureFile(rendered);
const patches = truth.request.reference!.patches;
const read = (change: Partial<ReadingRequest>) =>
  measureReading({ picture, request: { ...truth.request, corners: truth.corners, ...change } });
const judged = (reading: MeasuredReading) =>
  reading.steps
    .map((step, i) => ({ step, known: truth.steps[i]! }))
    .filter(({ known }) => known.redPrinted !== null && known.redPrinted < 1.4);
const codes = (reading: MeasuredReading) => reading.warnings.map((warning) => warning.code);
const meanSigma = (reading: MeasuredReading) =>
  judged(reading).reduce((sum, { step }) => sum + step.sigma, 0) / judged(reading).length;

describe("a photo with reference patches", () => {
  it("when six patches cover the print's range, undoes the camera's curve and says how surely", async () => {
    const reading = await read({});
    const errors = judged(reading).map(({ step, known }) => step.red - known.redPrinted!);
    expect(Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length)).toBeLessThan(0.015);
    judged(reading).forEach(({ step }, i) => expect(Math.abs(errors[i]!)).toBeLessThan(4 * step.sigma));
    expect(codes(reading).filter((code) => code.startsWith("reference"))).toEqual([]);
  });

  it("when the dark patches are missing, warns and is less sure of the dark steps", async () => {
    const [whole, pale] = await Promise.all([read({}), read({ reference: { patches: patches.slice(0, 4) } })]);
    expect(codes(pale)).toContain("reference-too-pale");
    expect(pale.steps[0]!.sigma).toBeGreaterThan(2 * whole.steps[0]!.sigma);
  });

  it("when the white patch is missing, warns and is less sure of every step", async () => {
    const [whole, dark] = await Promise.all([read({}), read({ reference: { patches: patches.slice(1) } })]);
    expect(codes(dark)).toContain("reference-too-dark");
    expect(meanSigma(dark)).toBeGreaterThan(1.3 * meanSigma(whole));
  });

  it("when the patches contradict each other, does not use them and says what to do", async () => {
    const swapped = patches
      .map(({ density }) => density)
      .with(2, patches[3]!.density)
      .with(3, patches[2]!.density);
    const mixed = patches.map((patch, i) => ({ ...patch, density: swapped[i]! }));
    const reading = await read({ reference: { patches: mixed } });
    const refusal = reading.warnings.find((warning) => warning.code === "reference-refused");
    expect(refusal).toMatchObject({ why: { code: expect.stringMatching(/paler-than-another|no-camera-curve/) } });
  });
});

describe("a photo with a film tablet on white paper beside the print", () => {
  /** Film densities that look, by light followed through film and paper, as dark as the rendered patches are. */
  const filmPatches = patches
    .filter(({ density }) => density < 1.2)
    .map(({ density, at }) => {
      let [low, high] = [0.036, 2];
      for (let i = 0; i < 40; i++) {
        const middle = (low + high) / 2;
        if (densityOverPaper(middle, 45, 0.85) < density) low = middle;
        else high = middle;
      }
      return { density: densityOverPaper(0.036, 45, 0.85) > density ? 0 : low, at };
    });

  it("reads as well as what film on paper holds, and says how surely", async () => {
    const [film, cards] = await Promise.all([
      read({ reference: { patches: filmPatches, filmOnPaper: true } }),
      read({ reference: { patches: patches.filter(({ density }) => density < 1.2) } }),
    ]);
    expect(codes(film)).not.toContain("reference-refused");
    const errors = judged(film).map(({ step, known }) => step.red - known.redPrinted!);
    judged(film).forEach(({ step }, i) => expect(Math.abs(errors[i]!)).toBeLessThan(3 * step.sigma));
    expect(meanSigma(film)).toBeGreaterThan(1.2 * meanSigma(cards));
    // Taken for cards, the same numbers are of half the density.
    const mistaken = await read({ reference: { patches: filmPatches } });
    expect(judged(mistaken)[0]!.step.red).toBeLessThan(0.7 * judged(film)[0]!.step.red);
  });

  it("leaves steps out that glare outshines, and says so", async () => {
    const dense = { density: 1.2, at: patches.at(-1)!.at };
    const reading = await read({ reference: { patches: [...filmPatches, dense], filmOnPaper: true } });
    expect(reading.warnings).toContainEqual({
      code: "reference-film-too-dense",
      patches: [filmPatches.length + 1],
    });
  });
});

describe("isOnCard", () => {
  it("when two patches lie far apart, keeps the paper between them", () => {
    const toPicture = homographyFromCorners([
      [0, 0],
      [1000, 0],
      [1000, 150],
      [0, 150],
    ]);
    const onCard = isOnCard({ toPicture, toStrip: inverseHomography(toPicture) }, [
      [50, 300],
      [950, 300],
    ]);
    expect(onCard(0.06, 1.9)).toBe(true);
    expect(onCard(0.5, 2)).toBe(false);
  });
});
