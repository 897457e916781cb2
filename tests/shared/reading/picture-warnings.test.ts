import { describe, expect, it } from "vitest";
import { areGrey, pictureWarnings, reversedWarning, type PictureFacts } from "#shared/reading/picture-warnings.ts";

const good: PictureFacts = {
  corners: [
    [100, 100],
    [2200, 100],
    [2200, 400],
    [100, 400],
  ],
  steps: 21,
  blurSteps: 0.03,
  jpegTableMean: 6,
  camera: "none",
  hasReference: false,
  longSidePx: 4000,
  clippedPaperShare: 0,
  isGrey: false,
};
const codes = (facts: Partial<PictureFacts>) => pictureWarnings({ ...good, ...facts }).map((warning) => warning.code);

describe("pictureWarnings", () => {
  it("for a good picture, says nothing", () => {
    expect(codes({})).toEqual([]);
  });

  it.each([
    ["it has no colours", { isGrey: true }, "picture-grey"],
    ["paper is overexposed", { clippedPaperShare: 0.8 }, "paper-clipped"],
    ["steps run into each other", { blurSteps: 0.2 }, "blurred"],
    [
      "steps are a few pixels wide",
      {
        corners: [
          [100, 100],
          [240, 100],
          [240, 130],
          [100, 130],
        ],
      },
      "small-steps",
    ],
    [
      "the camera leaned over",
      {
        corners: [
          [100, 100],
          [2200, 250],
          [2200, 420],
          [100, 500],
        ],
      },
      "tilted",
    ],
    ["a messenger shrank it", { jpegTableMean: 30, longSidePx: 1600 }, "recompressed"],
    ["a camera took it without a grey scale", { camera: "told" }, "tone-unchecked"],
  ] as const)("when %s, says so", (_what, facts, code) => {
    expect(codes(facts as Partial<PictureFacts>)).toEqual([code]);
  });

  it("with a grey scale in the frame, trusts the camera's tones", () => {
    expect(codes({ camera: "told", hasReference: true })).toEqual([]);
  });
});

describe("reversedWarning", () => {
  const falling = Array.from({ length: 21 }, (_, i) => 1.4 - 0.06 * i);

  it("when step 1 is darkest as it should be, says nothing", () => {
    expect(reversedWarning(falling, true)).toBeNull();
    expect(reversedWarning([...falling].reverse(), false)).toBeNull();
  });

  it("when the strip runs the other way, says which end to start from", () => {
    expect(reversedWarning([...falling].reverse(), true)).toMatchObject({
      code: "strip-reversed",
      firstShouldBe: "darkest",
    });
  });

  it("when the tones hardly change, says nothing", () => {
    expect(
      reversedWarning(
        falling.map((density) => density / 100),
        true,
      ),
    ).toBeNull();
  });
});

describe("steps without colour", () => {
  const blue = [1.4, 0.8, 0.1].map((red) => ({ red, green: 0.42 * red, blue: 0.16 * red }));
  const black = [1.4, 0.8, 0.1].map((red) => ({ red, green: 0.97 * red, blue: 0.95 * red }));
  const grey = [1.4, 0.8, 0.1].map((red) => ({ red, green: red + 0.0005, blue: red }));

  it("are those of a picture in grey, however it is stored", () => {
    expect(areGrey(grey)).toBe(true);
    expect(areGrey(grey.map(({ red }) => ({ red })))).toBe(true);
  });

  it("are neither those of a blue print nor of one toned to black, nor bare paper", () => {
    expect(areGrey(blue)).toBe(false);
    expect(areGrey(black)).toBe(false);
    expect(areGrey([{ red: 0.001, green: 0, blue: 0 }])).toBe(false);
  });
});
