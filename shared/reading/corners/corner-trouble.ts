// Whether four corners can be a strip at all, before anything is measured inside them.
import { turnAt } from "./clockwise.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { CornerTrouble } from "#shared/reading/reading-troubles.ts";

/** How far outside the picture a corner may lie and still count as on its edge. */
const edgeSlackPx = 1;
/** Fewer pixels than this along a step leave nothing to sample once its edges are left out. */
const fewestPixelsPerStep = 4;
/** The opposite sides of a strip seen at any usable angle differ by less than this ratio. */
const greatestSideRatio = 4;

const lengthPx = (a: PointPx, b: PointPx) => Math.hypot(b[0] - a[0], b[1] - a[1]);

/**
 * What is wrong with four corners, or null when they can be a strip.
 * @param corners top-left, top-right, bottom-right, bottom-left as the strip is read [px]
 * @param picture size of the upright picture [px] (infinite to look at the shape alone) and the number of steps
 */
export function cornerTrouble(
  corners: Corners,
  picture: { readonly width: number; readonly height: number; readonly steps: number },
): CornerTrouble | null {
  const bounded = Number.isFinite(picture.width);
  const outside = !bounded
    ? -1
    : corners.findIndex(
        ([x, y]) =>
          x < -edgeSlackPx || y < -edgeSlackPx || x > picture.width + edgeSlackPx || y > picture.height + edgeSlackPx,
      );
  if (outside >= 0) {
    return { code: "corner-outside", corner: outside + 1, widthPx: picture.width, heightPx: picture.height };
  }
  const [a, b, c, d] = corners;
  const turns = [turnAt(a, b, c), turnAt(b, c, d), turnAt(c, d, a), turnAt(d, a, b)];
  if (turns.every((value) => value < 0)) {
    return { code: "corners-mirrored" };
  }
  if (!turns.every((value) => value > 0)) {
    return { code: "corners-crossed" };
  }
  const [top, bottom, left, right] = [lengthPx(a, b), lengthPx(d, c), lengthPx(a, d), lengthPx(b, c)];
  const [widthPx, heightPx] = [Math.min(top, bottom), Math.min(left, right)];
  if (widthPx / picture.steps < fewestPixelsPerStep || heightPx < fewestPixelsPerStep)
    return { code: "strip-too-small", steps: picture.steps, widthPx, heightPx };
  if (Math.max(top / bottom, bottom / top, left / right, right / left) > greatestSideRatio) {
    return { code: "sides-differ" };
  }
  return null;
}
