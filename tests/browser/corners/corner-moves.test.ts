import { describe, expect, it } from "vitest";
import { isInside, movedInside, numberedAs } from "#src/browser/parts/corners/corner-moves.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

const picture = { width: 100, height: 80 };
const corners: Corners = [
  [10, 20],
  [60, 20],
  [60, 40],
  [10, 40],
];

describe("moving the corners of a tablet", () => {
  it("moves the one held, and no other", () => {
    expect(movedInside(corners, 1, [5, -3], picture)).toEqual([
      [10, 20],
      [65, 17],
      [60, 40],
      [10, 40],
    ]);
  });

  it("holds one corner at the picture's edge, and all four together without bending the outline", () => {
    expect(movedInside(corners, 0, [-50, -50], picture)[0]).toEqual([0, 0]);
    expect(movedInside(corners, null, [90, 90], picture)).toEqual([
      [50, 60],
      [100, 60],
      [100, 80],
      [50, 80],
    ]);
  });
});

describe("corners numbered as those of another outline", () => {
  it("stay where they are, each with the number of the nearest there", () => {
    const [a, b, c, d] = corners;
    const settled: Corners = [
      [12, 19],
      [61, 22],
      [59, 41],
      [9, 38],
    ];
    expect(numberedAs(settled, [a, d, c, b])).toEqual(corners);
    expect(numberedAs(settled, [d, a, b, c])).toEqual(corners);
  });

  it("numbers those of a thin strip once each, though it was settled by most of its height", () => {
    const thin: Corners = [
      [0, 0],
      [100, 0],
      [100, 4],
      [0, 4],
    ];
    const settled = ofEachCorner(thin, ([x, y]): PointPx => [x, y + 3]);
    const [a, b, c, d] = thin;
    expect(numberedAs(settled, [a, d, c, b])).toEqual(thin);
  });
});

describe("a drag inside the outline", () => {
  const outline: Corners = [
    [10, 10],
    [110, 20],
    [108, 60],
    [8, 50],
  ];

  it.each([
    [[60, 35], true],
    [[10, 10], true],
    [[60, 10], false],
    [[0, 30], false],
    [[60, 70], false],
  ] as const)("at %s begins: %s", (place, expected) => {
    expect(isInside(outline, place as [number, number])).toBe(expected);
    // Corners named the other way round are the same outline.
    const [a, b, c, d] = outline;
    expect(isInside([d, c, b, a], place as [number, number])).toBe(expected);
  });
});
