// Whether four corners can be a strip at all, before anything is measured inside them.
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/** How far outside the picture a corner may lie and still count as on its edge. */
const edgeSlackPx = 1;
/** Fewer pixels than this along a step leave nothing to sample once its edges are left out. */
export const fewestPixelsPerStep = 4;
/** The opposite sides of a strip seen at any usable angle differ by less than this ratio. */
const greatestSideRatio = 4;

const lengthPx = (a: PointPx, b: PointPx) => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** Twice the signed area of a turn from a by b to c; above 0 clockwise on a picture (y runs down). */
const turn = (a: PointPx, b: PointPx, c: PointPx) => (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);

/**
 * What is wrong with four corners, in plain words, or null when they can be a strip.
 * @param corners top-left, top-right, bottom-right, bottom-left as the strip is read [px]
 * @param picture size of the upright picture [px] (infinite to look at the shape alone) and the number of steps
 */
export function cornerTrouble(
  corners: Corners,
  picture: { readonly width: number; readonly height: number; readonly steps: number },
): string | null {
  const bounded = Number.isFinite(picture.width);
  const outside = !bounded
    ? -1
    : corners.findIndex(
        ([x, y]) =>
          x < -edgeSlackPx || y < -edgeSlackPx || x > picture.width + edgeSlackPx || y > picture.height + edgeSlackPx,
      );
  if (outside >= 0) {
    return `Corner ${outside + 1} lies outside the picture (${picture.width} x ${picture.height} pixels). The whole strip must be in the picture: move the corner in, or take the picture again from a little further away.`;
  }
  const [a, b, c, d] = corners;
  const turns = [turn(a, b, c), turn(b, c, d), turn(c, d, a), turn(d, a, b)];
  if (turns.every((value) => value < 0)) {
    return "The corners run the wrong way round, as if the picture were mirrored. Give them as the strip is read: top-left, top-right, bottom-right, bottom-left. If the picture is mirrored, mirror it back first.";
  }
  if (!turns.every((value) => value > 0)) {
    return "The corners cross or fold over. Give them in order round the strip: top-left, top-right, bottom-right, bottom-left, with step 1 at the first corner's end.";
  }
  const [top, bottom, left, right] = [lengthPx(a, b), lengthPx(d, c), lengthPx(a, d), lengthPx(b, c)];
  if (Math.min(top, bottom) / picture.steps < fewestPixelsPerStep || Math.min(left, right) < fewestPixelsPerStep) {
    return `The strip is too small in this picture: ${picture.steps} steps share ${Math.round(Math.min(top, bottom))} x ${Math.round(Math.min(left, right))} pixels. Take the picture from nearer, so that every step is at least ten pixels wide.`;
  }
  if (Math.max(top / bottom, bottom / top, left / right, right / left) > greatestSideRatio) {
    return "Opposite sides of the strip differ too much for a flat strip. Check the corners, and take the picture from straight above.";
  }
  return null;
}
