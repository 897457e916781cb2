// The renderer's truth against plain arithmetic on its own pixels, and what it promises about repeating itself.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { randomScene, sceneKinds } from "../../samples/render/random-scene.ts";
import { renderScene, type RenderedScene } from "../../samples/render/render-scene.ts";
import { bentPoint, straightPoint } from "../../samples/render/lens.ts";
import { wideScene } from "../../samples/render/wide-scene.ts";
import type { Scene } from "../../samples/render/scene.ts";
import { pictureFile } from "../../samples/render/write-picture.ts";

/** A small scan without noise, unevenness or things in the way. */
function cleanScan(seed: number): Scene {
  const scene = randomScene(seed, { kind: "scan", megapixels: 0.5, clutter: false });
  return {
    ...scene,
    print: { ...scene.print, cloudShare: 0, streakShare: 0, toothShare: 0 },
    camera: { ...scene.camera, readNoise: 0, shotNoise: 0, fallOffShare: 0 },
    file: { ...scene.file, format: "png", bits: 16 },
  };
}

/** Linear level of an encoded 16-bit value (IEC 61966-2-1). */
function linear(value: number): number {
  const code = value / 65_535;
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
}

function redAt({ pixels, width }: RenderedScene, [x, y]: readonly [number, number]): number {
  return linear(pixels[(Math.floor(y) * width + Math.floor(x)) * 3]!);
}

describe("renderScene", () => {
  it("when light is even and nothing is noisy, the pixels hold the densities of the truth", () => {
    const rendered = renderScene(cleanScan(4));
    const [first, , , fourth] = rendered.truth.corners;
    const outside = [first[0] + (first[0] - fourth[0]) * 0.4, first[1] + (first[1] - fourth[1]) * 0.4] as const;
    const paper = redAt(rendered, outside);
    expect(rendered.truth.steps.length).toBeGreaterThan(10);
    for (const step of rendered.truth.steps) {
      expect(Math.abs(-Math.log10(redAt(rendered, step.centre) / paper) - step.red!)).toBeLessThan(0.004);
    }
  });

  it("when a test is well exposed, densities fall from step 1 and span the curve", () => {
    const { steps, coverage, curve } = renderScene(cleanScan(5)).truth;
    expect(steps[0]!.red!).toBeGreaterThan(steps.at(-1)!.red! + 0.8);
    expect(coverage.least).toBeLessThan(0.1);
    expect(coverage.most).toBeGreaterThan(0.95);
    expect(curve.shoulderDensity).toBeCloseTo(curve.dMin + 0.9 * (curve.dMax - curve.dMin), 9);
  });

  it("when red density is compared with visual, visual is about half and the share falls as density grows", () => {
    const { steps } = renderScene(cleanScan(6)).truth;
    const rising = steps.filter((step) => step.red! > 0.1).sort((left, right) => left.red! - right.red!);
    const shares = rising.map((step) => step.visual / step.red!);
    expect(shares.at(-1)!).toBeGreaterThan(0.3);
    expect(shares.at(-1)!).toBeLessThan(shares[0]!);
    expect(shares[0]!).toBeLessThan(0.65);
  });

  it.each(sceneKinds)("when a %s is rendered twice from one seed, both are the same to the last pixel", (kind) => {
    const scene = randomScene(7, { kind, megapixels: 0.2 });
    const [one, two] = [renderScene(scene), renderScene(randomScene(7, { kind, megapixels: 0.2 }))];
    expect(Buffer.compare(Buffer.from(one.pixels.buffer), Buffer.from(two.pixels.buffer))).toBe(0);
    expect(one.truth).toEqual(two.truth);
    const frame = one.truth.corners.every(([x, y]) => x > 0 && y > 0 && x < one.width && y < one.height);
    expect(frame).toBe(true);
  });

  it.each(sceneKinds)(
    "when a %s may hold anything, it repeats to the last pixel and its strip lies in the picture",
    (kind) => {
      for (const seed of [3, 11]) {
        const [one, two] = [wideScene(seed, { kind, megapixels: 0.2 }), wideScene(seed, { kind, megapixels: 0.2 })];
        const [first, second] = [renderScene(one), renderScene(two)];
        expect(Buffer.compare(Buffer.from(first.pixels.buffer), Buffer.from(second.pixels.buffer))).toBe(0);
        const { corners, steps } = first.truth;
        for (const [x, y] of [...corners, ...steps.map((step) => step.centre)])
          expect([x > 0, y > 0, x < first.width, y < first.height]).toEqual([true, true, true, true]);
      }
    },
  );

  it("when a lens bends the picture, its bend and the way back cancel", () => {
    const lens = { lensBend: -0.025, widthPx: 1600, heightPx: 1200 };
    for (const place of [
      [10, 20],
      [1590, 640],
      [800, 600],
    ] as const) {
      const [x, y] = straightPoint(lens, bentPoint(lens, [place[0], place[1]]));
      expect(Math.hypot(x - place[0], y - place[1])).toBeLessThan(1e-6);
    }
  });

  it.each([1, 3, 6, 8] as const)(
    "when the file has orientation %i, a viewer sees the upright picture",
    async (orientation) => {
      const scene = randomScene(8, { kind: "photo", megapixels: 0.2 });
      const rendered = renderScene({ ...scene, file: { ...scene.file, orientation, quality: 98, chroma: "4:4:4" } });
      const { data, info } = await sharp(await pictureFile(rendered))
        .rotate()
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([rendered.width, rendered.height]);
      const errors = Array.from(data, (value, index) => Math.abs(value - rendered.pixels[index]!));
      expect(errors.reduce((sum, error) => sum + error, 0) / errors.length).toBeLessThan(3);
    },
  );
});
