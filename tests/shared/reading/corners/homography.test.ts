import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/** A camera of its own: a flat strip, tilted and turned in space, seen through a pinhole. */
function seen(camera: { tilt: number; roll: number; turn: number; distance: number }, u: number, v: number): PointPx {
  const [x, y] = [(u - 0.5) * 2, (v - 0.5) * 0.6];
  const [ct, st, cr, sr, cu, su] = [
    Math.cos(camera.tilt),
    Math.sin(camera.tilt),
    Math.cos(camera.roll),
    Math.sin(camera.roll),
    Math.cos(camera.turn),
    Math.sin(camera.turn),
  ];
  const [x1, y1, z1] = [x * ct, y, x * st];
  const [y2, z2] = [y1 * cr - z1 * sr, y1 * sr + z1 * cr];
  const [x3, y3] = [x1 * cu - y2 * su, x1 * su + y2 * cu];
  return [2000 + (3000 * x3) / (z2 + camera.distance), 1500 + (3000 * y3) / (z2 + camera.distance)];
}

const cameras = fc.record({
  tilt: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
  roll: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
  turn: fc.double({ min: -3.1, max: 3.1, noNaN: true }),
  distance: fc.double({ min: 3, max: 10, noNaN: true }),
});
const share = fc.double({ min: -0.2, max: 1.2, noNaN: true });
const cornersSeen = (camera: Parameters<typeof seen>[0]): Corners => [
  seen(camera, 0, 0),
  seen(camera, 1, 0),
  seen(camera, 1, 1),
  seen(camera, 0, 1),
];

describe("homographyFromCorners", () => {
  it("places every point of a flat strip where a pinhole camera sees it", () => {
    fc.assert(
      fc.property(cameras, share, share, (camera, u, v) => {
        const [x, y] = mapPoint(homographyFromCorners(cornersSeen(camera)), u, v);
        const [wantedX, wantedY] = seen(camera, u, v);
        expect(Math.hypot(x - wantedX, y - wantedY)).toBeLessThan(1e-6);
      }),
      { seed: 9 },
    );
  });

  it("comes back through its inverse", () => {
    fc.assert(
      fc.property(cameras, share, share, (camera, u, v) => {
        const map = homographyFromCorners(cornersSeen(camera));
        const [x, y] = mapPoint(map, u, v);
        const [backU, backV] = mapPoint(inverseHomography(map), x, y);
        expect(Math.hypot(backU - u, backV - v)).toBeLessThan(1e-9);
      }),
      { seed: 9 },
    );
  });

  it("when three corners lie on a line, says so", () => {
    expect(() =>
      homographyFromCorners([
        [0, 0],
        [1, 0],
        [2, 0],
        [0, 1],
      ]),
    ).toThrow(RangeError);
  });
});

describe("cornerTrouble", () => {
  const picture = { width: 4000, height: 3000, steps: 21 };
  const good: Corners = [
    [500, 500],
    [3500, 520],
    [3480, 900],
    [510, 910],
  ];

  it("for a strip in order, finds none", () => {
    expect(cornerTrouble(good, picture)).toBeNull();
  });

  it("for a strip seen by any camera, finds none unless it leaves the picture", () => {
    fc.assert(
      fc.property(cameras, (camera) => {
        const trouble = cornerTrouble(cornersSeen(camera), { width: 1e6, height: 1e6, steps: 3 });
        expect(trouble === null || cornersSeen(camera).some(([x, y]) => x < 0 || y < 0)).toBe(true);
      }),
      { seed: 9 },
    );
  });

  it("tells crossed, mirrored, outside, tiny and lopsided corners apart", () => {
    const [a, b, c, d] = good;
    expect(cornerTrouble([a, c, b, d], picture)).toEqual({ code: "corners-crossed" });
    expect(cornerTrouble([b, a, d, c], picture)).toEqual({ code: "corners-mirrored" });
    expect(cornerTrouble([a, b, [4100, 900], d], picture)).toMatchObject({ code: "corner-outside", corner: 3 });
    expect(
      cornerTrouble(
        [
          [500, 500],
          [560, 500],
          [560, 520],
          [500, 520],
        ],
        picture,
      ),
    ).toMatchObject({ code: "strip-too-small", steps: picture.steps });
    expect(cornerTrouble([a, b, c, [500, 560]], picture)).toEqual({ code: "sides-differ" });
  });
});
