// Large JPEG files are decoded at half their size, which the format itself allows: a strip's steps hold pixels to
// spare, and a picture of 50 million pixels would take 150 MB. Requests and readings keep speaking of the whole
// picture's pixels.
import { TroubleError } from "#shared/errors.ts";
import type { MeasuredReading, ReadingWarning } from "#shared/reading/reading-facts.ts";
import { readingTrouble, type CornerTrouble } from "#shared/reading/reading-troubles.ts";
import { cornersSchema, type Corners, type PointPx, type ReadingRequest } from "#shared/schema/reading.ts";

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
    warnings: reading.warnings.map((warning) => scaledWarning(warning, by)),
  };
}

function scaledWarning(warning: ReadingWarning, [byX, byY]: readonly [number, number]): ReadingWarning {
  if (warning.code === "corners-settled") return { ...warning, movedPx: warning.movedPx * Math.max(byX, byY) };
  if (warning.code === "small-steps")
    return { ...warning, widthPx: warning.widthPx * byX, heightPx: warning.heightPx * byY };
  return warning;
}

/**
 * What stopped the reading of a picture of another size, in pixels of this one: sizes that are told, and the likeliest
 * corners. @param by factors for x and y
 */
export function scaledTrouble(error: unknown, by: readonly [number, number]): unknown {
  if (!(error instanceof TroubleError)) return error;
  const { code, field, extra } = error;
  // Only troubles of reading are thrown here.
  const trouble = error.trouble as CornerTrouble;
  const guess = cornersSchema.safeParse(extra?.["guess"]);
  return readingTrouble(
    code,
    "widthPx" in trouble
      ? { ...trouble, widthPx: Math.round(trouble.widthPx * by[0]), heightPx: Math.round(trouble.heightPx * by[1]) }
      : trouble,
    { field, cause: error, extra: guess.success ? { ...extra, guess: scaledCorners(guess.data, by) } : extra },
  );
}

/** Least side of a step [px]. */
export function leastStepSidePx([a, b, c, d]: Corners, steps: number): number {
  const apart = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);
  return Math.min(apart(a, b) / steps, apart(d, c) / steps, apart(a, d), apart(b, c));
}
