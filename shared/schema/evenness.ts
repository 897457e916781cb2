// Relative irradiance over the bed of a lamp: what is asked and what is answered.
import { z } from "zod";
import { cornersSchema, tabletSchema, type Corners, type Warning } from "./reading.ts";

const bedFields = {
  /** Lamp over the bed, whose geometry helps to draw the map; absent: any kind of light. */
  lampId: z.string().max(64).optional(),
  /** Size of the area between the corners, for places in millimetres. */
  bedWidthMm: z.number().min(1).max(10_000).optional(),
  bedHeightMm: z.number().min(1).max(10_000).optional(),
};

/** One even exposure of a coated sheet that covers the bed, read through the coating's known curve. */
const exposureSchema = z.object({
  kind: z.literal("exposure"),
  /** A test of the same coating and support with a curve. */
  testId: z.string().min(1, "choose a test of this coating, whose curve turns blue into light").max(64),
  /** Corners of the exposed area: top-left, top-right, bottom-right, bottom-left as the bed is seen. */
  corners: cornersSchema,
  ...bedFields,
});

const share = z
  .number("give both shares of a place")
  .min(0, "a place lies on the bed: shares of its width and depth from 0 to 1")
  .max(1, "a place lies on the bed: shares of its width and depth from 0 to 1");

/** Numbers of tablets that a map is drawn from. */
export const tabletCounts = { fewest: 5, most: 24 } as const;

/** Several alike step tablets laid across the bed, exposed alike and photographed together. */
const tabletsSchema = z.object({
  kind: z.literal("tablets"),
  tablet: tabletSchema,
  /** Corners of the bed's printed area, where one sheet carries all tablets; else each tablet says its `place`. */
  corners: cornersSchema.optional(),
  tablets: z
    .array(
      z.object({
        corners: cornersSchema,
        /**
         * Where the tablet's steps of middle blue lay: shares of the bed's width from the left and of its depth from
         * the back.
         */
        place: z.object({ x: share, y: share }).optional(),
      }),
    )
    .min(
      tabletCounts.fewest,
      "at least five tablets are needed to see how the light falls: fewer see a slope, but no bowl",
    )
    .max(tabletCounts.most),
  ...bedFields,
});

export const evennessRequestSchema = z
  .discriminatedUnion("kind", [exposureSchema, tabletsSchema])
  .superRefine((asked, context) => {
    if (asked.kind !== "tablets" || asked.corners !== undefined) return;
    asked.tablets.forEach(({ place }, index) => {
      if (place === undefined)
        context.addIssue({
          code: "custom",
          path: ["tablets", index, "place"],
          message: "say where on the bed this tablet lay, or give the corners of the bed in the picture",
        });
    });
  });
export type EvennessRequest = z.infer<typeof evennessRequestSchema>;

export interface EvennessContour {
  /** Stops below the best place. */
  readonly stops: number;
  /** Line pieces, each two places in shares of the bed's width and height. */
  readonly pieces: readonly (readonly [number, number, number, number])[];
}

/** A ninth of the bed. */
export interface EvennessZone {
  /** Its middle, in shares of the bed's width and depth. */
  readonly x: number;
  readonly y: number;
  /** Above 0: more light than the middle of the bed. */
  readonly stops: number;
  readonly sigmaStops: number;
}

export interface Evenness {
  readonly kind: "exposure" | "tablets";
  readonly columns: number;
  readonly rows: number;
  /** Irradiance relative to the best place, row by row from the top-left corner [stops, 0 or below]. */
  readonly stops: readonly number[];
  /** The same as percent of the best place. */
  readonly percent: readonly number[];
  /** Irradiance at the best place over that at the worst. */
  readonly worstToBestRatio: number;
  readonly worstToBestStops: number;
  /** 95 % range of it; 0 where the bed may be even. Absent in maps of older versions. */
  readonly lowerStops?: number | undefined;
  readonly upperStops?: number | undefined;
  /** Standard uncertainty of `worstToBestStops`; a quarter of the 95 % range where that is not even to both sides. */
  readonly sigmaStops: number;
  /** Nine places, back left first, row by row: light against the middle's [stops]. Absent in maps of older versions. */
  readonly zones?: readonly EvennessZone[] | undefined;
  /**
   * Part of `worstToBestStops` that lies beyond the outermost places measured, where the map carries on what it saw.
   */
  readonly beyondStops: number;
  /** How much a single small place scatters about the smooth map: coating, grain and picture [stops]. */
  readonly noiseStops: number;
  /** Share of the bed within a tenth of a stop of the best place. */
  readonly withinTenthShare: number;
  readonly best: { readonly x: number; readonly y: number };
  readonly worst: { readonly x: number; readonly y: number };
  /**
   * Largest upright rectangle within a tenth of a stop of the best place, in shares of the bed, and in millimetres
   * where its size is known.
   */
  readonly workArea: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
    readonly widthMm: number | null;
    readonly heightMm: number | null;
  };
  readonly contours: readonly EvennessContour[];
  /** Places that were measured, in shares of the bed. */
  readonly places: readonly { readonly x: number; readonly y: number; readonly stops: number }[];
  /** What separated the lamp's light from the camera's. */
  readonly lightFrom: "even-light-picture" | "paper-border" | "paper-beside-tablets";
  /** Corners of the bed in the picture; null when the tablets said their places. */
  readonly corners: Corners | null;
  /** Plain sentences. */
  readonly reasons: readonly string[];
  readonly warnings: readonly Warning[];
}

/** A map as it is kept and answered. */
export interface SavedEvenness extends Evenness {
  readonly id: string;
  readonly createdAt: string;
}
