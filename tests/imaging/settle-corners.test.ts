// Corners as people mark them, on drawn strips whose place and densities are known.
import { describe, expect, it } from "vitest";
import type { TroubleError } from "#shared/errors.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { Corners, Tablet } from "#shared/schema/reading.ts";
import { randomScene } from "../../samples/render/random-scene.ts";
import { renderScene } from "../../samples/render/render-scene.ts";
import { pictureFile } from "../../samples/render/write-picture.ts";
import { blueprintDensities, stripFile, type StripPicture } from "../support/pictures/strip-picture.ts";

const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const truth: Corners = [
  [140, 120],
  [980, 120],
  [980, 210],
  [140, 210],
];
const plain: StripPicture = {
  width: 1120,
  height: 330,
  corners: truth,
  densities: blueprintDensities,
  grain: 0.01,
};
const blue: StripPicture = { ...plain, around: () => [1.4, 0.59, 0.22] };

async function readAt(picture: StripPicture, corners: Corners, said: Tablet = tablet) {
  const { location, steps, warnings } = await measureReading({
    picture: await stripFile(picture),
    request: { tablet: said, corners },
  });
  return { location, reds: steps.map((step) => step.red), codes: warnings.map(({ code }) => code) };
}

const worst = (reds: readonly number[], known: readonly number[]) =>
  Math.max(...reds.map((red, i) => Math.abs(red - known[i]!)));

describe("marked corners", () => {
  it.each([
    ["on paper", plain],
    ["in blue", blue],
  ] as const)("%s, stay where they are when they are right", async (_where, picture) => {
    const { location, codes } = await readAt(picture, truth);
    expect(location).toMatchObject({ method: "given", confidence: 1, corners: truth });
    expect(codes).not.toContain("corners-doubted");
  });

  it.each([
    [
      "off by a hundredth of the length",
      [
        [148, 114],
        [973, 125],
        [988, 203],
        [133, 217],
      ],
    ],
    [
      "a quarter inside its width",
      [
        [140, 142],
        [980, 142],
        [980, 188],
        [140, 188],
      ],
    ],
    [
      "a third inside at one end",
      [
        [140, 150],
        [980, 124],
        [980, 206],
        [140, 180],
      ],
    ],
  ] as const)("%s, are settled on the edges of the picture, and that is said", async (_how, marked) => {
    const corners: Corners = [[...marked[0]], [...marked[1]], [...marked[2]], [...marked[3]]];
    const exact = await readAt(plain, truth);
    const { location, reds, codes } = await readAt(plain, corners);
    expect(codes).toContain("corners-settled");
    location.corners.forEach(([x, y], i) => expect(Math.hypot(x - truth[i]![0], y - truth[i]![1])).toBeLessThan(8));
    expect(worst(reds, exact.reds)).toBeLessThan(0.02);
  });

  it("inside a strip whose steps run into one another, are doubted; on its edges they are not", async () => {
    const soft: StripPicture = {
      ...plain,
      over: (u, v) => (u < 0 || u >= 1 || v < 0 || v >= 1 ? null : [1.3 * (1 - u), 0.55 * (1 - u), 0.2 * (1 - u)]),
    };
    const inside: Corners = [
      [140, 147],
      [980, 147],
      [980, 183],
      [140, 183],
    ];
    expect((await readAt(soft, truth)).codes).not.toContain("corners-doubted");
    const { location, codes } = await readAt(soft, inside);
    expect(codes).toContain("corners-doubted");
    expect(location.confidence).toBeLessThan(0.5);
  });

  it("when half of the strip is marked, are doubted or asked for again", async () => {
    const { location, codes } = await readAt(blue, [
      [140, 120],
      [560, 120],
      [560, 210],
      [140, 210],
    ]);
    expect(
      location.confidence < 0.5 || codes.includes("corners-doubted") || codes.includes("looks-like-other-count"),
    ).toBe(true);
  });

  it("when another number of steps was said, tells both numbers", async () => {
    const densities = Array.from({ length: 21 }, (_, i) => 1.3 * (1 - i / 20));
    const { codes, location } = await readAt({ ...blue, densities }, truth, {
      ...tablet,
      steps: 31,
      increment: 0.1,
    });
    expect(codes).toContain("looks-like-other-count");
    expect(location.confidence).toBeLessThan(0.5);
  });

  it.each([
    ["next", [1, 2, 3, 0]],
    ["last", [3, 0, 1, 2]],
  ] as const)("begun at the %s corner, are refused, with those that are right beside", async (_which, order) => {
    const [a, b, c, d] = order.map((i) => truth[i]!);
    const error = await readAt(plain, [a!, b!, c!, d!]).catch((thrown: unknown) => thrown);
    expect(error).toMatchObject({ code: "corners-impossible", trouble: { code: "corners-turned" } });
    const guess = (error as TroubleError).extra?.["guess"] as Corners;
    guess.forEach(([x, y], i) => expect(Math.hypot(x - truth[i]![0], y - truth[i]![1])).toBeLessThan(2));
  });

  it("of a strip that shows nothing in either direction, are read as they were marked", async () => {
    const { location } = await readAt({ ...plain, densities: blueprintDensities.map(() => 0.01) }, truth);
    expect(location.corners).toEqual(truth);
  });

  it("of a tilted test far too short, whose pale end nothing shows, are believed", async () => {
    const rendered = renderScene(randomScene(910_010, { kind: "toned-photo", megapixels: 2, exposed: "under" }));
    const { request, corners } = rendered.truth;
    const reading = await measureReading({ picture: await pictureFile(rendered), request: { ...request, corners } });
    expect(reading.location.confidence).toBe(1);
    expect(reading.warnings.map(({ code }) => code)).not.toContain("corners-doubted");
  });

  it("a hundredth off, of a tilted strip whose middle they move by a step, are doubted", async () => {
    const rendered = renderScene(randomScene(33_055, { kind: "photo", megapixels: 2 }));
    const marked: Corners = [
      [421.1, 1665.9],
      [411.9, 316],
      [602.4, 294.6],
      [701.6, 1656.6],
    ];
    const { location, warnings } = await measureReading({
      picture: await pictureFile(rendered),
      request: { ...rendered.truth.request, corners: marked },
    });
    expect(warnings.map(({ code }) => code)).toContain("corners-doubted");
    expect(location.confidence).toBeLessThan(0.5);
  });
});
