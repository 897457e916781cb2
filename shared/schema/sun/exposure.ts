// Exposures under the sun, and anchors kept from the dose clock.
import { maxAnchorSeconds } from "#shared/limits.ts";
import { z } from "zod";
import { lineSchema, linesSchema } from "#shared/schema/plain-text.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { hazeSchema, sunSurroundingsShape, type Sky } from "./conditions.ts";
import { instantSchema } from "#shared/schema/test.ts";

/** Years for which the sun's position is good to the stated angle. */
const firstYear = 1950;
const lastYear = 2100;

export const sunInstantSchema = instantSchema.refine(
  (instant) => Number(instant.slice(0, 4)) >= firstYear && Number(instant.slice(0, 4)) <= lastYear,
  `the sun is reckoned for the years ${firstYear} to ${lastYear} only`,
);

export const placeShape = {
  latitude: z
    .number("write the latitude in degrees: 48.85, or 48° 51' N")
    .min(-90, "latitudes go from -90 (south) to 90 (north)")
    .max(90, "latitudes go from -90 (south) to 90 (north)"),
  longitude: z
    .number("write the longitude in degrees: 2.35, or 2° 21' E")
    .min(-180, "longitudes go from -180 (west) to 180 (east)")
    .max(180, "longitudes go from -180 (west) to 180 (east)"),
};
export const planeShape = {
  /** 0 lies flat, 90 stands upright. */
  tiltDegrees: z.number().min(0, "a tilt cannot be below 0").max(180, "a tilt cannot be above 180").default(0),
  /** Clockwise from true north. */
  facingDegrees: z
    .number()
    .min(0, "facings go from 0 to 360, clockwise from north")
    .max(360, "facings go from 0 to 360, clockwise from north")
    .default(0),
};

/** Most anchors in one request. */
const maxAnchors = 20;

export const sunExposureRequestSchema = z
  .object({
    ...placeShape,
    startAt: sunInstantSchema,
    ...planeShape,
    ...sunSurroundingsShape,
    /** IANA zone whose local day is shown; the offset of startAt when absent. */
    timeZone: z.string().max(60).optional(),
    /** One test printed in the sun, or several of one combination. */
    anchorTestId: z.string().min(1).optional(),
    anchorTestIds: z.array(z.string().min(1)).max(maxAnchors, `use at most ${maxAnchors} tests`).optional(),
    /** Anchors kept from the dose clock. */
    anchorIds: z.array(z.string().min(1)).max(maxAnchors, `use at most ${maxAnchors} anchors`).optional(),
    /** Wanted dose in the model's own unit: action-weighted joules per square metre. Instead of an anchor. */
    dose: z.number().gt(0, "a dose must be above 0").min(0.001).max(1e9, "no print wants that much").optional(),
    /** Whether to fit the haze to anchors of one clear day with the sun at well separated heights. */
    fitHaze: z.boolean().default(false),
  })
  .refine(
    (request) =>
      request.dose === undefined ||
      (request.anchorTestId === undefined && !request.anchorTestIds?.length && !request.anchorIds?.length),
    {
      path: ["dose"],
      error: "give either a dose or an anchor, not both",
    },
  );
export type SunExposureRequest = z.infer<typeof sunExposureRequestSchema>;

export type SunVerdict = "ok" | "not-before-sunset" | "sun-too-low" | "no-anchor" | "sky-unsuitable";

/** One start on the day's plot. */
export interface SunSeriesPoint {
  readonly at: string;
  readonly heightDegrees: number;
  readonly azimuthDegrees: number;
  /** Printing strength on the frame: action-weighted W/m² of the model, good for ratios only. */
  readonly strength: number;
  /** Relative to the day's best, 0-1. */
  readonly strengthShare: number;
  /** Time of an exposure that starts here, with its 95 % range; null where there is none. */
  readonly seconds: number | null;
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
}

/** An anchor as an answer names it. */
export interface UsedAnchor {
  readonly id: string;
  readonly kind: "test" | "kept";
  readonly name: string;
  /** Dose that it says the wanted tone needs. */
  readonly dose: number;
  readonly at: string;
  readonly heightDegrees: number;
}

export interface SunExposureAnswer {
  /** Null unless the verdict is `ok`. */
  readonly seconds: number | null;
  readonly endAt: string | null;
  readonly lowerSeconds: number | null;
  /** Null with a time: the slower end of the range is not reached before sunset. */
  readonly upperSeconds: number | null;
  readonly verdict: SunVerdict;
  /** Plain sentences: why this time or none, what to do next. */
  readonly reasons: readonly string[];
  readonly warnings: readonly Warning[];
  readonly startAt: string;
  /** Wanted dose, action-weighted J/m² of the model. */
  readonly dose: number | null;
  readonly lowerDose: number | null;
  readonly upperDose: number | null;
  readonly anchors: readonly UsedAnchor[];
  /** Standard deviation of ln dose over the anchors; null with fewer than two. */
  readonly anchorSpread: number | null;
  /** Haze used, and whether it was fitted to the anchors. */
  readonly haze: number;
  readonly hazeFitted: boolean;
  readonly sky: Sky;
  readonly glass: boolean;
  readonly sun: {
    readonly heightDegrees: number;
    readonly azimuthDegrees: number;
    readonly strength: number;
    readonly strengthShare: number;
  };
  readonly tilt: { readonly tiltDegrees: number; readonly facingDegrees: number; readonly gain: number } | null;
  readonly day: {
    readonly date: string;
    readonly kind: "ordinary" | "up" | "down";
    readonly sunriseAt: string | null;
    readonly sunsetAt: string | null;
    readonly highestAt: string;
    readonly highestHeightDegrees: number;
    /** Stretches in which the sun stands at or above 10°. */
    readonly useful: readonly { readonly fromAt: string; readonly untilAt: string }[];
    readonly bestWindow: { readonly fromAt: string; readonly untilAt: string } | null;
  };
  readonly series: readonly SunSeriesPoint[];
}

/** Most stretches of hidden sun in one exposure. */
export const maxHidden = 500;
/** Most turns of a frame in one exposure. */
const maxTurns = 50;

/** From when on a frame lay otherwise: what is not named stays as it was. */
const turnSchema = z.object({
  fromAt: sunInstantSchema,
  tiltDegrees: planeShape.tiltDegrees.unwrap().optional(),
  facingDegrees: planeShape.facingDegrees.unwrap().optional(),
  /** Whether ordinary window glass lay over the print from then on. */
  glass: z.boolean().optional(),
});
export type SunTurn = z.infer<typeof turnSchema>;

export const turnsSchema = z.array(turnSchema).max(maxTurns, `at most ${maxTurns} turns of a frame`);

/** Dose that a witness strip told, with its 95 % range [action-weighted J/m²]. */
export const measuredDoseSchema = z.object({
  likely: z.number().positive(),
  lowest: z.number().positive(),
  highest: z.number().positive(),
});

/** Minutes of hidden sun whose time nobody noted. */
export const cloudMinutesSchema = z.number().min(0, "minutes cannot be below 0").max(1440, "a day has 1440 minutes");

export const sunAnchorInputSchema = z
  .object({
    name: lineSchema().min(1, "give it a name").max(120, "keep the name under 120 characters"),
    notes: linesSchema().max(4000).default(""),
    ...placeShape,
    ...planeShape,
    ...sunSurroundingsShape,
    haze: hazeSchema.optional(),
    startedAt: sunInstantSchema,
    endedAt: sunInstantSchema,
    /** Stretches in which a cloud hid the sun. */
    hidden: z
      .array(z.object({ fromAt: sunInstantSchema, untilAt: sunInstantSchema }))
      .max(maxHidden, `at most ${maxHidden} hidden stretches`)
      .default([]),
    /** How the frame was turned or glazed on the way. */
    turns: turnsSchema.default([]),
    cloudMinutes: cloudMinutesSchema.default(0),
    /** What a witness strip told, instead of what the model and the hidden minutes say. */
    measuredDose: measuredDoseSchema.nullish(),
    /** Judged by eye on the dry print: 0 came out right; 1 needs twice the light; -1 half. */
    neededStops: z.number().min(-3, "judge within 3 stops").max(3, "judge within 3 stops").default(0),
    supportId: z.string().min(1).nullish(),
    coatingId: z.string().min(1).nullish(),
    filmId: z.string().min(1).nullish(),
  })
  .superRefine((anchor, context) => {
    const seconds = (Date.parse(anchor.endedAt) - Date.parse(anchor.startedAt)) / 1000;
    if (!(seconds > 0))
      context.addIssue({ code: "custom", path: ["endedAt"], message: "the end must come after the start" });
    if (seconds > maxAnchorSeconds)
      context.addIssue({
        code: "custom",
        path: ["endedAt"],
        message: "an exposure of more than a day cannot be an anchor",
      });
    anchor.hidden.forEach((stretch, index) => {
      if (Date.parse(stretch.untilAt) < Date.parse(stretch.fromAt))
        context.addIssue({
          code: "custom",
          path: ["hidden", index, "untilAt"],
          message: "the sun came back before it was hidden",
        });
    });
  });
export type SunAnchorInput = z.infer<typeof sunAnchorInputSchema>;

/** An anchor kept from the dose clock. */
export type SunAnchor = SunAnchorInput & { readonly id: string; readonly createdAt: string };
