// The strip cut out of its picture and turned level, so that the boxes that were measured can be looked at on a phone.
import { px } from "#src/web/parts/svg-plot.ts";
import type { Reading } from "#shared/schema/reading.ts";

export interface StripCutout {
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  /** What is shown, in pixels of the turned picture: x, y, width, height. */
  readonly viewBox: string;
  /** Turns the picture so that the strip lies level and reads from left to right. */
  readonly transform: string;
  readonly boxes: readonly { readonly points: string; readonly isFlagged: boolean }[];
  readonly label: string;
}

type Point = readonly [number, number];

/** Only what is clearly longer than wide is a strip that gains by being cut out. */
const leastLength = 2.5;
/** Rim of paper round the strip that is shown too, as a share of its width. */
const rimShare = 0.35;

const middle = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];

/** The strip's place when the picture is turned so that it lies level. */
interface StripFrame {
  readonly transform: string;
  readonly turned: readonly Point[];
  readonly width: number;
  /** What each step's measured box covers of the turned picture: "x y width height". */
  readonly boxes: readonly string[];
}

/** @returns null for a sheet, or for what is hardly longer than wide */
export function stripFrame({ location, steps }: Pick<Reading, "location" | "steps">): StripFrame | null {
  const [topLeft, topRight, bottomRight, bottomLeft] = location.corners;
  if (!topLeft || !topRight || !bottomRight || !bottomLeft) return null;
  const left = middle(topLeft, bottomLeft);
  const right = middle(topRight, bottomRight);
  const length = Math.hypot(right[0] - left[0], right[1] - left[1]);
  const width = Math.hypot(topLeft[0] - bottomLeft[0], topLeft[1] - bottomLeft[1]);
  if (!(length >= leastLength * width) || !(width > 0)) return null;
  const turn = Math.atan2(right[1] - left[1], right[0] - left[0]);
  const centre = middle(left, right);
  const turnedOf = ([x, y]: Point): Point => {
    const [dx, dy] = [x - centre[0], y - centre[1]];
    return [
      centre[0] + dx * Math.cos(turn) + dy * Math.sin(turn),
      centre[1] - dx * Math.sin(turn) + dy * Math.cos(turn),
    ];
  };
  return {
    transform: `rotate(${px((-turn * 180) / Math.PI)} ${px(centre[0])} ${px(centre[1])})`,
    turned: location.corners.map(turnedOf),
    width,
    boxes: steps.map(({ box }) => boundsOf(box.map(turnedOf), 0).map(px).join(" ")),
  };
}

/** x, y, width and height of the least upright box round points, with a rim. */
function boundsOf(points: readonly Point[], rim: number): number[] {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [x, y] = [Math.min(...xs) - rim, Math.min(...ys) - rim];
  return [x, y, Math.max(...xs) + rim - x, Math.max(...ys) + rim - y];
}

/** The cutout of a reading's strip; null for a sheet, whose block is seen well enough in the whole picture. */
export function stripCutout(
  pictureId: string,
  { location, image, steps }: Pick<Reading, "location" | "image" | "steps">,
): StripCutout | null {
  const frame = stripFrame({ location, steps });
  if (frame === null) return null;
  return {
    pictureId,
    width: image.width,
    height: image.height,
    viewBox: boundsOf(frame.turned, frame.width * rimShare)
      .map(px)
      .join(" "),
    transform: frame.transform,
    boxes: steps.map((step) => ({
      points: step.box.map(([x, y]) => `${px(x)},${px(y)}`).join(" "),
      isFlagged: step.flags.length > 0,
    })),
    label: `The strip as it was found, turned level: ${steps.length} steps, each box one that was measured`,
  };
}
