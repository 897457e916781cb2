// Large JPEG files are decoded at half their size, which the format itself allows: a strip's steps hold pixels to
// spare, and a picture of 50 million pixels would take 150 MB. Requests and readings keep speaking of the whole
// picture's pixels.
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Corners, PointPx, ReadingRequest } from "#shared/schema/reading.ts";

/** JPEG files of more pixels than this are first decoded at half size. */
export const largePixels = 6_000_000;
/** Steps of fewer pixels than this at half size are measured at full size. */
export const fewestHalfSizeStepPx = 24;

const scaled = ([x, y]: PointPx, by: readonly [number, number]): PointPx => [x * by[0], y * by[1]];
const scaledCorners = ([a, b, c, d]: Corners, by: readonly [number, number]): Corners => [
  scaled(a, by),
  scaled(b, by),
  scaled(c, by),
  scaled(d, by),
];

/** A request whose places are those of a picture of another size. @param by factors for x and y */
export function scaledRequest(request: ReadingRequest, by: readonly [number, number]): ReadingRequest {
  return {
    ...request,
    ...(request.corners === undefined ? {} : { corners: scaledCorners(request.corners, by) }),
    ...(request.reference === undefined
      ? {}
      : {
          reference: {
            ...request.reference,
            patches: request.reference.patches.map((patch) => ({ ...patch, at: scaled(patch.at, by) })),
          },
        }),
  };
}

/** A reading whose places are those of a picture of another size. @param by factors for x and y */
export function scaledReading(reading: MeasuredReading, by: readonly [number, number]): MeasuredReading {
  return {
    ...reading,
    image: {
      ...reading.image,
      width: Math.round(reading.image.width * by[0]),
      height: Math.round(reading.image.height * by[1]),
    },
    location: { ...reading.location, corners: scaledCorners(reading.location.corners, by) },
    steps: reading.steps.map((step) => ({
      ...step,
      centre: scaled(step.centre, by),
      box: scaledCorners(step.box, by),
    })),
  };
}

/** Least side of a step [px]. */
export function leastStepSidePx([a, b, c, d]: Corners, steps: number): number {
  const apart = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);
  return Math.min(apart(a, b) / steps, apart(d, c) / steps, apart(a, d), apart(b, c));
}
