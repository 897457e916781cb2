// Where handles stand on the screen: outside the corners that they move, so that on a thin strip none covers another or
// what it points at.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { Size } from "./view-box.ts";

/** How far outside a corner its handle stands, along the strip and across it [screen px]. */
const handleOutsidePx = 30;
/** ... and the one that moves all corners, beyond the middle of the lower edge. */
const wholeOutsidePx = 52;
/** Handles stay this far inside the stage. */
const rimPx = 25;

const unit = (x: number, y: number): PointPx => {
  const length = Math.hypot(x, y);
  return length > 1e-6 ? [x / length, y / length] : [1, 0];
};

/**
 * Places of the four handles and of the one that moves all.
 * @param corners on the screen, in the tablet's order
 */
export function handlePlaces(corners: Corners, stage: Size): readonly PointPx[] {
  const [a, b, c, d] = corners;
  const [alongX, alongY] = unit(b[0] + c[0] - a[0] - d[0], b[1] + c[1] - a[1] - d[1]);
  // Across is square to along, on the side where the lower corners are: a strip without height still has two sides.
  const isTurned = (c[0] + d[0] - a[0] - b[0]) * -alongY + (c[1] + d[1] - a[1] - b[1]) * alongX < 0;
  const [acrossX, acrossY] = isTurned ? [alongY, -alongX] : [-alongY, alongX];
  const outside = (from: PointPx, along: number, across: number): PointPx =>
    insideStage(
      from,
      [from[0] + along * alongX + across * acrossX, from[1] + along * alongY + across * acrossY],
      stage,
    );
  const by = handleOutsidePx;
  return [
    outside(a, -by, -by),
    outside(b, by, -by),
    outside(c, by, by),
    outside(d, -by, by),
    outside([(c[0] + d[0]) / 2, (c[1] + d[1]) / 2], 0, wholeOutsidePx),
  ];
}

/** A handle whose corner is in sight stays in sight. */
function insideStage(corner: PointPx, place: PointPx, { width, height }: Size): PointPx {
  const isSeen = corner[0] >= 0 && corner[1] >= 0 && corner[0] <= width && corner[1] <= height;
  if (!isSeen) return place;
  const within = (value: number, most: number) => Math.min(Math.max(value, rimPx), most - rimPx);
  return [within(place[0], width), within(place[1], height)];
}
