import { describe, expect, it } from "vitest";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { randomScene } from "../../samples/render/random-scene.ts";
import { renderScene } from "../../samples/render/render-scene.ts";
import type { Thing } from "../../samples/render/scene.ts";
import { pictureFile } from "../../samples/render/write-picture.ts";

/** A rendered photo with a sticker over one step. */
async function flagsUnder(sticker: { step: number; rgb: readonly [number, number, number]; widthShare: number }) {
  const scene = randomScene(4711, {
    kind: "photo",
    megapixels: 1.5,
    exposed: "well",
    clutter: false,
    tablet: { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
  });
  const { print } = scene;
  const stepMm = print.lengthMm / 21;
  const thing: Thing = {
    name: "sticker",
    shape: "rectangle",
    centreMm: [(sticker.step - 0.5) * stepMm, print.widthMm / 2],
    sizeMm: [stepMm * 0.9, print.widthMm * sticker.widthShare],
    turnedDegrees: 4,
    rgb: sticker.rgb,
    ticksMm: 0,
  };
  const rendered = renderScene({ ...scene, things: [thing] });
  const reading = await measureReading({
    picture: await pictureFile(rendered),
    request: { ...rendered.truth.request, corners: rendered.truth.corners },
  });
  return reading.steps.flatMap((step) => (step.flags.includes("left-out") ? [step.index] : []));
}

describe("a step under a sticker", () => {
  const stickers = {
    yellow: [0.7, 0.65, 0.1],
    red: [0.8, 0.2, 0.1],
    green: [0.1, 0.45, 0.2],
    black: [0.02, 0.02, 0.02],
  } as const;
  for (const [name, rgb] of Object.entries(stickers)) {
    it(`when ${name} covers the first or the last step, leaves just that one out`, async () => {
      expect(await flagsUnder({ step: 1, rgb, widthShare: 1 })).toEqual([1]);
      expect(await flagsUnder({ step: 21, rgb, widthShare: 1 })).toEqual([21]);
    });
  }

  it("when paper white covers the darkest step, leaves it out", async () => {
    expect(await flagsUnder({ step: 1, rgb: [0.85, 0.85, 0.83], widthShare: 1 })).toEqual([1]);
  });

  it("when it covers about half of a dark step, leaves it out: neither half is known to be the print", async () => {
    expect(await flagsUnder({ step: 6, rgb: [0.85, 0.85, 0.83], widthShare: 0.47 })).toEqual([6]);
  });
});
