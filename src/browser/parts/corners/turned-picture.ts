// A picture turned on the screen, so that a strip lies level: places on the picture and places on the turned plane that
// holds it.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { Size } from "./view-box.ts";

export interface TurnedPicture {
  /** Clockwise on the screen. */
  readonly radians: number;
  /** The plane that the turned picture fills [px of the picture]. */
  readonly plane: Size;
  readonly onPlane: (point: PointPx) => PointPx;
  readonly onPicture: (point: PointPx) => PointPx;
  /** A way on the plane, as a way on the picture. */
  readonly wayOnPicture: (way: PointPx) => PointPx;
}

/** A picture turned about its middle. @param radians clockwise on the screen */
export function turnedPicture({ width, height }: Size, radians: number): TurnedPicture {
  const [c, s] = [Math.cos(radians), Math.sin(radians)];
  const plane = {
    width: Math.abs(width * c) + Math.abs(height * s),
    height: Math.abs(width * s) + Math.abs(height * c),
  };
  const wayOnPicture = ([x, y]: PointPx): PointPx => [x * c + y * s, y * c - x * s];
  return {
    radians,
    plane,
    onPlane: ([x, y]) => {
      const [dx, dy] = [x - width / 2, y - height / 2];
      return [plane.width / 2 + dx * c - dy * s, plane.height / 2 + dx * s + dy * c];
    },
    onPicture: ([x, y]) => {
      const [dx, dy] = wayOnPicture([x - plane.width / 2, y - plane.height / 2]);
      return [width / 2 + dx, height / 2 + dy];
    },
    wayOnPicture,
  };
}

/** How far a picture is turned for a strip to lie level, its first step at the left [radians, clockwise]. */
export function levelTurn([a, b, c, d]: Corners): number {
  const turn = -Math.atan2(b[1] + c[1] - a[1] - d[1], b[0] + c[0] - a[0] - d[0]);
  return Number.isFinite(turn) ? turn : 0;
}
