import { describe, expect, it } from "vitest";
import sharp from "sharp";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { askBelow } from "#shared/reading/corners/finding-confidence.ts";
import type { Corners, Reading } from "#shared/schema/reading.ts";
import { TroubleError } from "#shared/errors.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { blueprintDensities, stripFile, type StripPicture } from "../support/pictures/strip-picture.ts";

const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const corners: Corners = [
  [80, 80],
  [710, 80],
  [710, 180],
  [80, 180],
];
const plain: StripPicture = { width: 790, height: 260, corners, densities: blueprintDensities, grain: 0.01 };

/** Greatest distance of a found corner from its true place, as a share of the step's width. */
function misplacement(found: Corners, truth: Corners, steps: number): number {
  const stepPx = Math.hypot(truth[1][0] - truth[0][0], truth[1][1] - truth[0][1]) / steps;
  return Math.max(...found.map(([x, y], i) => Math.hypot(x - truth[i]![0], y - truth[i]![1]))) / stepPx;
}

describe("finding a strip", () => {
  const turned: Corners = [
    [710, 180],
    [80, 180],
    [80, 80],
    [710, 80],
  ];
  const redSticker = [0.05, 0.7, 0.9] as const;
  const upright: Corners = [
    [180, 60],
    [180, 690],
    [80, 690],
    [80, 60],
  ];
  const pictures: readonly (readonly [string, StripPicture])[] = [
    ["on white paper", plain],
    ["in fully exposed blue", { ...plain, around: () => [1.4, 0.59, 0.22] }],
    ["upside down", { ...plain, corners: turned }],
    ["on its side", { ...plain, width: 260, height: 760, corners: upright }],
    [
      "tilted",
      {
        ...plain,
        corners: [
          [100, 60],
          [690, 105],
          [680, 205],
          [90, 190],
        ],
      },
    ],
    [
      "in blue with a narrow coated border",
      {
        ...plain,
        around: (u, v) => (Math.abs(u - 0.5) < 0.53 && Math.abs(v - 0.5) < 0.8 ? [1.4, 0.59, 0.22] : [0, 0, 0]),
      },
    ],
    [
      "with a red sticker on half of its first step",
      { ...plain, over: (u, v) => (u < 1 / 21 && v < 0.5 ? redSticker : null) },
    ],
    [
      "with a white sticker on half of its third step",
      { ...plain, over: (u, v) => (Math.abs(u - 2.5 / 21) < 0.02 && v > 0.45 ? [0, 0, 0] : null) },
    ],
    ["with a sheet edge beyond its pale end", { ...plain, around: (u) => (u > 1.06 ? [0.9, 1, 1.1] : [0, 0, 0]) }],
    [
      "on a green cutting mat with a grid",
      {
        ...plain,
        around: (u, v) => {
          if (Math.abs(u - 0.5) < 0.54 && Math.abs(v - 0.5) < 0.7) return [0, 0, 0];
          return Math.abs(((u * 16) % 1) - 0.5) > 0.46 || Math.abs(((v * 2.5) % 1) - 0.5) > 0.46
            ? [0.6, 0.4, 0.55]
            : [1.25, 0.75, 0.95];
        },
      },
    ],
    ["under falling light", { ...plain, light: (x, y) => 1 - 0.5 * x - 0.2 * y }],
  ];
  it.each(pictures)("when it lies %s, puts the corners right", async (_where, picture) => {
    const reading = await measureReading({ picture: await stripFile(picture), request: { tablet } });
    expect(reading.location.method).toBe("found");
    expect(misplacement(reading.location.corners, picture.corners, 21)).toBeLessThan(0.2);
    // The fourth step, as a thing may lie on the first ones.
    expect(reading.steps[3]!.red).toBeGreaterThan(1.3);
  });

  it("when the levels run from white to black, starts at the pale end", async () => {
    const levels = Array.from({ length: 21 }, (_, i) => Math.round(255 - (i * 255) / 20));
    const reading = await measureReading({
      picture: await stripFile(plain),
      request: { tablet: { kind: "levels", levels } },
    });
    expect(reading.steps[0]!.red).toBeLessThan(0.05);
    expect(misplacement(reading.location.corners, turned, 21)).toBeLessThan(0.2);
  });

  it("when another number of steps is declared, does not keep quiet", async () => {
    const blue: StripPicture = { ...plain, around: () => [1.4, 0.59, 0.22] };
    const reading = measureReading({ picture: await stripFile(blue), request: { tablet: { ...tablet, steps: 14 } } });
    const said = await reading.then(
      ({ warnings }) => warnings.map(({ code }) => code),
      (error: { code: string }) => [error.code],
    );
    const loud = ["looks-like-other-count", "location-uncertain", "no-tablet-found"];
    expect(said.some((code) => loud.includes(code))).toBe(true);
  });

  it("when there is no strip, refuses and asks for the corners", async () => {
    const empty = await stripFile({ ...plain, densities: Array.from({ length: 21 }, () => 0) });
    await expect(measureReading({ picture: empty, request: { tablet } })).rejects.toMatchObject({
      code: "no-tablet-found",
      field: "corners",
    });
  });

  it("whatever the picture, gives a place or asks for the corners", async () => {
    for (let seed = 1; seed <= 24; seed++) {
      const random = seededRandom(seed);
      const between = (low: number, high: number) => low + (high - low) * random.uniform();
      const [width, height] = [Math.round(between(40, 500)), Math.round(between(40, 400))];
      const period = between(5, 60);
      const turn = between(0, Math.PI);
      const data = Buffer.alloc(width * height * 3);
      for (let i = 0; i < width * height; i++) {
        const along = ((i % width) * Math.cos(turn) + Math.floor(i / width) * Math.sin(turn)) / period;
        const step = [() => Math.floor(along) % 2, () => (along % 20) / 20, () => random.uniform()][seed % 3]!();
        for (let c = 0; c < 3; c++)
          data[3 * i + c] = Math.min(
            255,
            Math.max(0, Math.round(255 * Math.abs(step) ** (1 + c) + 6 * random.normal())),
          );
      }
      const picture = await sharp(data, { raw: { width, height, channels: 3 } })
        .png()
        .toBuffer();
      const steps = [2, 5, 21, 41][seed % 4]!;
      const outcome = await measureReading({ picture, request: { tablet: { ...tablet, steps } } }).catch(
        (error: unknown) => error,
      );
      if (outcome instanceof TroubleError) continue;
      expect(outcome, `picture ${seed}`).not.toBeInstanceOf(Error);
      const { corners: found, confidence } = (outcome as Reading).location;
      expect(confidence).toBeGreaterThanOrEqual(askBelow);
      for (const [x, y] of found)
        expect([x >= -1, x <= width + 1, y >= -1, y <= height + 1]).toEqual([true, true, true, true]);
    }
  });

  it("when one end runs out of the picture, refuses with the likeliest corners", async () => {
    const cut = await stripFile({ ...plain, width: 500 });
    await expect(measureReading({ picture: cut, request: { tablet } })).rejects.toMatchObject({
      code: "no-tablet-found",
      extra: { guess: expect.any(Array) },
    });
  });
});
