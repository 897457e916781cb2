// How a lens bends straight lines: places move along the radius, by a share that grows with the square of the distance.
import type { PointPx } from "#shared/schema/reading.ts";
import type { Camera } from "./scene.ts";

type Lens = Pick<Camera, "lensBend" | "widthPx" | "heightPx">;

/** Where a place in the picture would lie without the bend. */
export function straightPoint({ lensBend, widthPx, heightPx }: Lens, [x, y]: PointPx): PointPx {
  if (lensBend === undefined) return [x, y];
  const [dx, dy] = [x - widthPx / 2, y - heightPx / 2];
  const scale = 1 - (lensBend * (dx * dx + dy * dy)) / ((widthPx / 2) ** 2 + (heightPx / 2) ** 2);
  return [widthPx / 2 + dx * scale, heightPx / 2 + dy * scale];
}

/** Where the bend puts a place; the inverse of straightPoint. */
export function bentPoint(lens: Lens, straight: PointPx): PointPx {
  let [x, y] = straight;
  for (let round = 0; round < 40; round++) {
    const [sx, sy] = straightPoint(lens, [x, y]);
    [x, y] = [x + straight[0] - sx, y + straight[1] - sy];
  }
  return [x, y];
}
