import { describe, expect, it } from "vitest";
import { cornersOfTaps } from "#src/browser/parts/corners/corner-moves.ts";
import { handlePlaces } from "#src/browser/parts/corners/handle-places.ts";
import { levelTurn, turnedPicture } from "#src/browser/parts/corners/turned-picture.ts";
import type { Corners } from "#shared/schema/reading.ts";

const picture = { width: 400, height: 300 };
const upright: Corners = [
  [220, 50],
  [220, 250],
  [200, 250],
  [200, 50],
];

describe("a picture turned on the screen", () => {
  it.each([0, 0.4, -2, Math.PI])("by %s, has the same place on the plane and back", (radians) => {
    const turned = turnedPicture(picture, radians);
    const [x, y] = turned.onPicture(turned.onPlane([37, 211]));
    expect(x).toBeCloseTo(37, 9);
    expect(y).toBeCloseTo(211, 9);
  });

  it("by a quarter, stands on a plane of swapped sides, its top left at the plane's top right", () => {
    const { plane, onPlane } = turnedPicture(picture, Math.PI / 2);
    expect(plane.width).toBeCloseTo(300, 9);
    expect(plane.height).toBeCloseTo(400, 9);
    expect(onPlane([0, 0])[0]).toBeCloseTo(300, 9);
    expect(onPlane([0, 0])[1]).toBeCloseTo(0, 9);
  });

  it("for a strip that runs downwards, lays it level with its first step at the left", () => {
    const { onPlane } = turnedPicture(picture, levelTurn(upright));
    const [first, second] = [onPlane(upright[0]), onPlane(upright[1])];
    expect(first[1]).toBeCloseTo(second[1], 9);
    expect(first[0]).toBeLessThan(second[0]);
  });
});

describe("the handles of a strip", () => {
  const stage = { width: 390, height: 400 };
  it.each([
    [
      "thin and level",
      [
        [60, 200],
        [330, 200],
        [330, 206],
        [60, 206],
      ],
    ],
    [
      "without height",
      [
        [60, 200],
        [330, 200],
        [330, 200],
        [60, 200],
      ],
    ],
    [
      "thin and steep",
      [
        [203, 60],
        [203, 330],
        [197, 330],
        [197, 60],
      ],
    ],
  ] as const)("%s, stand a finger apart", (_how, corners) => {
    const places = handlePlaces(corners as unknown as Corners, stage);
    places.forEach((one, i) =>
      places.slice(0, i).forEach((other) => {
        // 48 px: the handle's own width (3rem), above the 44 px that a finger needs (common practice, no source).
        expect(Math.hypot(one[0] - other[0], one[1] - other[1])).toBeGreaterThan(48);
      }),
    );
  });

  it("at the stage's edge, stay in sight", () => {
    const places = handlePlaces(
      [
        [0, 0],
        [390, 0],
        [390, 60],
        [0, 60],
      ],
      stage,
    );
    for (const [x, y] of places.slice(0, 4)) {
      expect(x).toBeGreaterThanOrEqual(20);
      expect(x).toBeLessThanOrEqual(370);
      expect(y).toBeGreaterThanOrEqual(20);
    }
  });
});

describe("four taps", () => {
  it("in order are the corners; with the last two swapped, the outline is uncrossed", () => {
    const [a, b, c, d] = upright;
    expect(cornersOfTaps([a, b, c, d])).toEqual(upright);
    expect(cornersOfTaps([a, b, d, c])).toEqual(upright);
  });
});
