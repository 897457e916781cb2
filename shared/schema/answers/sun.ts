// What the routes of the sun answer.
import { z } from "zod";
import { skySchema } from "#shared/schema/sun/conditions.ts";
import { sunFrameInputSchema } from "#shared/schema/sun/frame.ts";
import { sunAnchorInputSchema } from "#shared/schema/sun/exposure.ts";
import { numberOrNull, storedShape, textOrNull, warningSchema } from "./common.ts";

export const sunAnchorSchema = z.object({ ...sunAnchorInputSchema.shape, ...storedShape });

export const sunFrameSchema = z.object({
  ...sunFrameInputSchema.shape,
  ...storedShape,
  updatedAt: z.string(),
  /** What it has had by now, or by its end. */
  now: z.object({
    share: z.number(),
    lowerShare: z.number(),
    upperShare: z.number(),
    hiddenSeconds: z.number(),
    bringInAt: textOrNull,
    earliestAt: textOrNull,
    latestAt: textOrNull,
    reachedAt: textOrNull,
    stopsOver: numberOrNull,
  }),
});

const stretchSchema = z.object({ fromAt: z.string(), untilAt: z.string() });

export const sunExposureSchema = z.object({
  seconds: numberOrNull,
  endAt: textOrNull,
  lowerSeconds: numberOrNull,
  upperSeconds: numberOrNull,
  verdict: z.enum(["ok", "not-before-sunset", "sun-too-low", "no-anchor", "sky-unsuitable"]),
  reasons: z.array(z.string()),
  warnings: z.array(warningSchema),
  startAt: z.string(),
  dose: numberOrNull,
  lowerDose: numberOrNull,
  upperDose: numberOrNull,
  anchors: z.array(
    z.object({
      id: z.string(),
      kind: z.enum(["test", "kept"]),
      name: z.string(),
      dose: z.number(),
      at: z.string(),
      heightDegrees: z.number(),
    }),
  ),
  anchorSpread: numberOrNull,
  haze: z.number(),
  hazeFitted: z.boolean(),
  sky: skySchema,
  glass: z.boolean(),
  sun: z.object({
    heightDegrees: z.number(),
    azimuthDegrees: z.number(),
    strength: z.number(),
    strengthShare: z.number(),
  }),
  tilt: z.object({ tiltDegrees: z.number(), facingDegrees: z.number(), gain: z.number() }).nullable(),
  day: z.object({
    date: z.string(),
    kind: z.enum(["ordinary", "up", "down"]),
    sunriseAt: textOrNull,
    sunsetAt: textOrNull,
    highestAt: z.string(),
    highestHeightDegrees: z.number(),
    useful: z.array(stretchSchema),
    bestWindow: stretchSchema.nullable(),
  }),
  series: z.array(
    z.object({
      at: z.string(),
      heightDegrees: z.number(),
      azimuthDegrees: z.number(),
      strength: z.number(),
      strengthShare: z.number(),
      seconds: numberOrNull,
      lowerSeconds: numberOrNull,
      upperSeconds: numberOrNull,
    }),
  ),
});

export const sunDaySchema = z.object({
  date: z.string(),
  timeZone: z.string(),
  untilAt: textOrNull,
  places: z.array(
    z.object({
      name: z.string(),
      frame: z.number(),
      outAt: z.string(),
      inAt: z.string(),
      seconds: z.number(),
      lowerSeconds: numberOrNull,
      upperSeconds: numberOrNull,
    }),
  ),
  leftOver: z.array(z.object({ name: z.string(), why: z.string() })),
});
