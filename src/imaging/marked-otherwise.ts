// What a strip that was marked by hand may be other than what was said: one of another number of steps, or one whose
// corners were begun at another corner.
// Numbers: common practice, no source (rendered scenes).
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { Raster } from "./decode/decode.ts";
import { frameMarked, type FramedStrip } from "./find/framed-strip.ts";
import { combFit, isGoodComb, usualCounts } from "./find/other-count.ts";
import { smoothed, type Field } from "./find/smoothed-field.ts";
import { smallPicture, type PictureBox } from "./find/small-picture.ts";
import { fieldToSearch, inStepOrder } from "./find-tablet.ts";

/** The strip is looked at on a copy this long. */
const longSide = 700;
/** How far round the marked corners it is looked, shares of the marked length and multiples of the marked height. */
const roundLengthShare = 0.12;
const roundHeights = 1.8;
/** A comb plainly fits with so many boundaries; that of another count is named where it fits so many times as well. */
const fewestBoundaries = 5;
const clearlyFitter = 1.35;

/** The picture round a strip, and where that lies in it. */
export interface PartRound {
  readonly field: Field;
  /** Small pixels, the dark end first. */
  readonly corners: Corners;
  readonly inPicture: (place: PointPx) => PointPx;
}

/** The part of a picture that a strip is looked at in. @param marked its corners [px], step 1 first */
export function partRound(raster: Raster, marked: Corners, darkEnd: boolean): PartRound {
  const box = boxRound(marked, raster);
  const small = smallPicture(raster, longSide, box);
  const inSmall = ([x, y]: PointPx): PointPx => [(x - box.left) / small.factor, (y - box.top) / small.factor];
  return {
    field: smoothed(fieldToSearch(small), 1),
    corners: ofEachCorner(inStepOrder(marked, darkEnd), inSmall),
    inPicture: ([x, y]) => [x * small.factor + box.left, y * small.factor + box.top],
  };
}

interface FitTry {
  readonly corners: Corners;
  readonly steps: number;
}

/** Every way to lay a comb that plainly fits, and how well. */
function fitting(field: Field, tries: readonly FitTry[]): { way: FitTry; fit: number }[] {
  return tries.flatMap((way) => {
    const framed = frameMarked(field, way.corners, way.steps);
    return framed === null || !isGoodComb(framed) || framed.comb.boundaries.length < fewestBoundaries
      ? []
      : [{ way, fit: combFit(framed) }];
  });
}

/** Of some ways to lay a comb the one that fits best, and how well; null where none plainly fits. */
function fittest(field: Field, tries: readonly FitTry[]): { way: FitTry; fit: number } | null {
  return fitting(field, tries).reduce<{ way: FitTry; fit: number } | null>(
    (best, each) => (best === null || each.fit > best.fit ? each : best),
    null,
  );
}

/**
 * Corners begun at the next corner, where the boundaries run across them as they were marked and along them so.
 * @param corners small pixels, the dark end first
 * @returns null where the strip does not plainly run so
 */
export function turnedCorners(field: Field, [a, b, c, d]: Corners, steps: number): Corners | null {
  const ways: FitTry[] = [
    { corners: [b, c, d, a], steps },
    { corners: [d, a, b, c], steps },
  ];
  return fittest(field, ways)?.way.corners ?? null;
}

/**
 * Whether the boundaries run across the corners as they are ordered, and the steps so from corner 1 to corner 4.
 * @param corners small pixels, the dark end first
 * @returns null where the picture does not plainly show which way they run
 */
export function runsAcross(field: Field, [a, b, c, d]: Corners, steps: number): boolean | null {
  const along: FitTry = { corners: [a, b, c, d], steps };
  const across: FitTry = { corners: [b, c, d, a], steps };
  const [best, other] = fitting(field, [along, across]).sort((one, two) => two.fit - one.fit);
  if (best === undefined || (other !== undefined && best.fit < clearlyFitter * other.fit)) return null;
  return best.way === across;
}

/** Another usual count whose comb fits between the marked ends, where the declared one does not. */
export function betterCount(
  field: Field,
  corners: Corners,
  declared: number,
  framed: FramedStrip | null,
): number | null {
  const others = usualCounts.filter((count) => count !== declared).map((steps) => ({ corners, steps }));
  const best = fittest(field, others);
  return best !== null && best.fit > clearlyFitter * (framed === null ? 0 : combFit(framed)) ? best.way.steps : null;
}

/** The part of the picture round marked corners [px]. */
function boxRound(corners: Corners, { width, height }: Raster): PictureBox {
  const [a, b, c, d] = corners;
  const length = Math.max(Math.hypot(b[0] - a[0], b[1] - a[1]), Math.hypot(c[0] - d[0], c[1] - d[1]));
  const high = Math.max(Math.hypot(d[0] - a[0], d[1] - a[1]), Math.hypot(c[0] - b[0], c[1] - b[1]));
  const round = Math.max(roundLengthShare * length, roundHeights * high);
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
  const left = Math.max(0, Math.floor(Math.min(...xs) - round));
  const top = Math.max(0, Math.floor(Math.min(...ys) - round));
  return {
    left,
    top,
    width: Math.min(width, Math.ceil(Math.max(...xs) + round)) - left,
    height: Math.min(height, Math.ceil(Math.max(...ys) + round)) - top,
  };
}
