// The strip cut out of its picture and turned level, so that the boxes that were measured can be looked at on a phone.
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
const rounded = (value: number): string => value.toFixed(1);

/** The cutout of a reading's strip; null for a sheet, whose block is seen well enough in the whole picture. */
export function stripCutout(
  pictureId: string,
  { location, image, steps }: Pick<Reading, "location" | "image" | "steps">,
): StripCutout | null {
  const [topLeft, topRight, bottomRight, bottomLeft] = location.corners;
  if (!topLeft || !topRight || !bottomRight || !bottomLeft) return null;
  const left = middle(topLeft, bottomLeft);
  const right = middle(topRight, bottomRight);
  const length = Math.hypot(right[0] - left[0], right[1] - left[1]);
  const width = Math.hypot(topLeft[0] - bottomLeft[0], topLeft[1] - bottomLeft[1]);
  if (!(length >= leastLength * width) || !(width > 0)) return null;
  const turn = Math.atan2(right[1] - left[1], right[0] - left[0]);
  const centre = middle(left, right);
  const turned = location.corners.map(([x, y]): Point => {
    const [dx, dy] = [x - centre[0], y - centre[1]];
    return [
      centre[0] + dx * Math.cos(turn) + dy * Math.sin(turn),
      centre[1] - dx * Math.sin(turn) + dy * Math.cos(turn),
    ];
  });
  const xs = turned.map(([x]) => x);
  const ys = turned.map(([, y]) => y);
  const rim = width * rimShare;
  const box = [Math.min(...xs) - rim, Math.min(...ys) - rim];
  const size = [Math.max(...xs) - Math.min(...xs) + 2 * rim, Math.max(...ys) - Math.min(...ys) + 2 * rim];
  return {
    pictureId,
    width: image.width,
    height: image.height,
    viewBox: [...box, ...size].map(rounded).join(" "),
    transform: `rotate(${rounded((-turn * 180) / Math.PI)} ${rounded(centre[0])} ${rounded(centre[1])})`,
    boxes: steps.map((step) => ({
      points: step.box.map(([x, y]) => `${rounded(x)},${rounded(y)}`).join(" "),
      isFlagged: step.flags.length > 0,
    })),
    label: `The strip as it was found, turned level: ${steps.length} steps, each box one that was measured`,
  };
}
