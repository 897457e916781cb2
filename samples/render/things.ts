// Things in the frame, painted over the print row by row.
import { project, radians, type Matrix } from "./pose.ts";
import type { Thing } from "./scene.ts";

export interface PlacedThing {
  readonly thing: Thing;
  readonly cos: number;
  readonly sin: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Finds each thing's box in the picture, in upright pixels. */
export function placeThings(things: readonly Thing[], pose: Matrix): PlacedThing[] {
  return things.map((thing) => {
    const cos = Math.cos(radians(thing.turnedDegrees));
    const sin = Math.sin(radians(thing.turnedDegrees));
    const [halfX, halfY] = [thing.sizeMm[0] / 2, thing.sizeMm[1] / 2];
    const points = [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ].map(([sx, sy]) =>
      project(
        pose,
        thing.centreMm[0] + sx! * halfX * cos - sy! * halfY * sin,
        thing.centreMm[1] + sx! * halfX * sin + sy! * halfY * cos,
      ),
    );
    const xs = points.map((point) => point[0]);
    const ys = points.map((point) => point[1]);
    return {
      thing,
      cos,
      sin,
      left: Math.floor(Math.min(...xs)) - 1,
      right: Math.ceil(Math.max(...xs)) + 1,
      top: Math.floor(Math.min(...ys)) - 1,
      bottom: Math.ceil(Math.max(...ys)) + 1,
    };
  });
}

/** Whether a place [mm] is under the thing. */
export function isCovered({ thing, cos, sin }: PlacedThing, xMm: number, yMm: number): boolean {
  const dx = xMm - thing.centreMm[0];
  const dy = yMm - thing.centreMm[1];
  const along = dx * cos + dy * sin;
  const across = dy * cos - dx * sin;
  const [halfX, halfY] = [thing.sizeMm[0] / 2, thing.sizeMm[1] / 2];
  switch (thing.shape) {
    case "rectangle":
      return Math.abs(along) <= halfX && Math.abs(across) <= halfY;
    case "disc":
      return (along / halfX) ** 2 + (across / halfY) ** 2 <= 1;
    case "line":
      // A gentle bow across the box, as thick as a hair.
      return Math.abs(along) <= halfX && Math.abs(across - halfY * (1 - 2 * (along / halfX) ** 2)) <= hairMm;
  }
}

const hairMm = 0.09;

/** Colour of the band along a thing that has them; its rim is left plain. */
function bandAt(
  { thing, cos, sin }: Pick<PlacedThing, "thing" | "cos" | "sin">,
  xMm: number,
  yMm: number,
): readonly [number, number, number] | null {
  if (thing.bandsRgb === undefined) return null;
  const [dx, dy] = [xMm - thing.centreMm[0], yMm - thing.centreMm[1]];
  const along = (dx * cos + dy * sin) / thing.sizeMm[0] + 0.5;
  const across = (dy * cos - dx * sin) / thing.sizeMm[1] + 0.5;
  const inside = (along - 0.08) / 0.84;
  if (inside < 0 || inside >= 1 || across < 0.2 || across > 0.8) return null;
  return thing.bandsRgb[Math.floor(inside * thing.bandsRgb.length)] ?? null;
}

/** Paints a thing's colour at a place that it covers. */
export function paintThing(
  { thing, cos, sin }: PlacedThing,
  xMm: number,
  yMm: number,
  out: Float32Array,
  at: number,
): void {
  let level = 1;
  if (thing.ticksMm > 0) {
    const along = (xMm - thing.centreMm[0]) * cos + (yMm - thing.centreMm[1]) * sin + thing.sizeMm[0] / 2;
    const across = (yMm - thing.centreMm[1]) * cos - (xMm - thing.centreMm[0]) * sin + thing.sizeMm[1] / 2;
    const tick = Math.round(along / thing.ticksMm);
    const reach = tickReach(tick);
    if (Math.abs(along - tick * thing.ticksMm) < 0.12 && across < thing.sizeMm[1] * reach) level = 0.12;
  }
  if (thing.name === "coin") {
    const ring = Math.hypot(xMm - thing.centreMm[0], yMm - thing.centreMm[1]) / (thing.sizeMm[0] / 2);
    level = coinLevel(ring, Math.atan2(yMm - thing.centreMm[1], xMm - thing.centreMm[0]));
  }
  const rgb = bandAt({ thing, cos, sin }, xMm, yMm) ?? thing.rgb;
  out[at] = rgb[0] * level;
  out[at + 1] = rgb[1] * level;
  out[at + 2] = rgb[2] * level;
}

/** How far a ruler's tick reaches across it, as a share of its width: centimetres furthest, then halves. */
function tickReach(tick: number): number {
  if (tick % 10 === 0) return 0.6;
  return tick % 5 === 0 ? 0.45 : 0.3;
}

/** Light of a coin at a share of its radius: a bright rim, a groove, a stamped face. */
function coinLevel(ring: number, angle: number): number {
  if (ring > 0.9) return 1.35;
  return ring > 0.84 ? 0.6 : 0.9 + 0.25 * Math.sin(7 * ring + 3 * angle);
}
