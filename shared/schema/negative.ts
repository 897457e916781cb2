// The wish for one corrected negative.
import { luminanceWeights } from "#shared/limits.ts";
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { correctionTargetSchema, plannedUseSchema, targetTextSchema } from "./correction.ts";

/** Largest side of a print, mm: a banner. */
const largestSideMm = 10_000;
const shareSchema = z.number().min(0).max(1);

/** Part of the upright picture to print, as shares of its width and height. */
const cropSchema = z
  .object({ x: shareSchema, y: shareSchema, width: z.number().gt(0).max(1), height: z.number().gt(0).max(1) })
  .refine(
    ({ x, y, width, height }) => x + width <= 1.000001 && y + height <= 1.000001,
    "the crop reaches beyond the picture: its place and size are shares of the picture, 0 to 1",
  );

const weightSchema = z.number().min(-2).max(3);
/** How much red, green and blue light count in the grey; scaled to a sum of 1. */
const greyWeightsSchema = z
  .object({ red: weightSchema, green: weightSchema, blue: weightSchema })
  .refine(({ red, green, blue }) => red + green + blue > 0.1, "the grey weights must sum to more than 0.1");
export type GreyWeights = z.infer<typeof greyWeightsSchema>;

const inkLevelSchema = z.number().min(0).max(255);
export const filmInkSchema = z.object(
  { red: inkLevelSchema, green: inkLevelSchema, blue: inkLevelSchema },
  { error: "an ink is red, green and blue, 0 to 255 each; on a form six hexadecimal digits, such as 00ff00" },
);
export type FilmInk = z.infer<typeof filmInkSchema>;

/** Whether an ink is a grey. */
function isNeutral({ red, green, blue }: FilmInk): boolean {
  return red === green && green === blue;
}

const [red, green, blue] = luminanceWeights;
/** Greys as bright as the colours. */
const luminanceGreys: GreyWeights = { red, green, blue };

const sideSchema = z.number().min(5, "must be at least 5 mm").max(largestSideMm);

const negativeFields = z.object({
  /** Test whose correction is used; made with a wedge sheet or a strip of levels. */
  testId: z.string().min(1, "choose the test whose tone curve is to be used").max(60),
  /** As an object, or as written in an address: "density", or "0:0,128:60,255:100". */
  target: z.union([correctionTargetSchema, targetTextSchema]).default("lightness"),
  /** A kept curve, to be used as it was kept instead of the test's present one. */
  curveId: z.string().max(60).nullish(),
  /** Width of the printed picture, margins not counted; or its height, or its longer side: one of the three. */
  widthMm: sideSchema.nullish(),
  heightMm: sideSchema.nullish(),
  longSideMm: sideSchema.nullish(),
  dpi: z.number().min(50).max(2880).default(300),
  /** Mirrored, so that the printed side lies on the coating and text reads right. */
  mirror: z.boolean().default(true),
  /** Turned into a negative: dark on film is white on the print. */
  invert: z.boolean().default(true),
  format: z.enum(["png", "pdf", "tiff"]).default("png"),
  /** Bits of each channel. With 16 no noise is added: there are levels enough. */
  bits: z.union([z.literal(8), z.literal(16)], "choose 8 or 16 bits").default(8),
  channels: z.enum(["grey", "rgb"]).default("grey"),
  /** What the film printer is sent for its densest film, 0-255 each; with a colour the file must be RGB. */
  ink: filmInkSchema.default({ red: 0, green: 0, blue: 0 }),
  crop: cropSchema.default({ x: 0, y: 0, width: 1, height: 1 }),
  greyWeights: greyWeightsSchema.default(luminanceGreys),
  /** Steeper (above 0) or flatter middle tones, percent. */
  contrast: z.number().min(-50).max(50).default(0),
  /** Local sharpening, percent. */
  sharpening: z.number().min(0).max(100).default(0),
  marginMm: z.number().min(0).max(200).default(0),
  /** What the film is outside the picture: opaque keeps the paper white, clear prints the darkest blue. */
  marginTone: z.enum(["opaque", "clear"]).default("opaque"),
  registrationMarks: z.boolean().default(false),
  /** A small strip of patches under the picture, to read from the photo of the finished print. */
  marginStrip: z.boolean().default(false),
  /** A strip under the picture that names calibration, time and date. */
  caption: z.boolean().default(false),
  /** Date for the caption, as it shall be read. */
  captionDate: lineSchema().max(40).default(""),
  /** Size of one sheet of film, which is the page; larger pictures are split into tiles. A roll has no height. */
  filmWidthMm: z.number().min(30).max(largestSideMm).nullish(),
  filmHeightMm: z.number().min(30).max(largestSideMm).nullish(),
  /** Whether the film may be laid on its side where that takes fewer sheets. */
  filmMayTurn: z.boolean().default(false),
  overlapMm: z.number().min(0).max(100).default(10),
  /** Only this tile, counted from 1, row by row; all of them when absent. */
  tile: z.int().min(1).max(400).nullish(),
  ...plannedUseSchema.shape,
});

const checkedNegative = <Shape extends typeof negativeFields>(fields: Shape) =>
  fields
    .refine(({ widthMm, heightMm, longSideMm }) => [widthMm, heightMm, longSideMm].some((side) => side != null), {
      path: ["widthMm"],
      error: "name the width, the height or the longer side of the print",
    })
    .refine(
      ({ widthMm, heightMm, longSideMm }) => [widthMm, heightMm, longSideMm].filter((side) => side != null).length <= 1,
      { path: ["widthMm"], error: "name one side of the print only: the others follow from the picture" },
    )
    .refine(({ ink, channels }) => channels === "rgb" || isNeutral(ink), {
      path: ["channels"],
      error: "a coloured ink needs a file in RGB",
    });

export const negativeRequestSchema = checkedNegative(negativeFields);
export type NegativeRequest = z.infer<typeof negativeRequestSchema>;

/** Most pictures in one series. */
export const mostSeriesPictures = 24;

/** POST /api/negatives/series: several pictures with one set of settings. */
export const seriesRequestSchema = checkedNegative(
  negativeFields.extend({
    /** A negative each (one PDF, or an archive of PNG or TIFF files), or together on as few films as they fit (PDF). */
    arrangement: z.enum(["one-each", "together"]).default("one-each"),
    /** Clear distance between pictures that lie together [mm]. */
    gapMm: z.number().min(0).max(50).default(4),
  }),
);
export type SeriesRequest = z.infer<typeof seriesRequestSchema>;

/** POST /api/negatives: "false" makes it in the background. */
export const negativeQuerySchema = z.object({ wait: z.enum(["true", "false"]).default("true") });

/** What a negative in the making tells of itself. */
export interface NegativeProgress {
  readonly id: string;
  readonly state: "working" | "done" | "failed" | "cancelled";
  /** 0-1 */
  readonly share: number;
  /** Where the finished file is; null before. */
  readonly file: string | null;
  readonly fileName: string | null;
  /** Where it stands in the list of negatives made, once it is done. */
  readonly madeId: string | null;
  /** Plain words when it failed. */
  readonly detail: string | null;
  readonly warnings: readonly { readonly code: string; readonly message: string }[];
}

/** A negative that was made: what it was made from, and the curve that it went through, for good. */
export const madeNegativeInputSchema = z.object({
  /** The request as it was, file and crop included. */
  request: negativeRequestSchema,
  target: correctionTargetSchema,
  /** Name of the picture's file; empty where none came. */
  pictureName: lineSchema().max(200).default(""),
  /** Size of the printed picture [mm]. */
  widthMm: z.number(),
  heightMm: z.number(),
  sheets: z.int(),
  /** The curve: level sent for each wanted level, 256 numbers. */
  levels: z.array(z.number()).length(256),
  /** A name for its settings, to choose them again; empty when they have none. */
  settingsName: lineSchema().max(80).default(""),
  notes: linesSchema().max(2000).default(""),
});
export type MadeNegativeInput = z.infer<typeof madeNegativeInputSchema>;

/** PATCH: what can be changed of it. */
export const madeNegativePatchSchema = z.object({
  settingsName: lineSchema().max(80).optional(),
  notes: linesSchema().max(2000).optional(),
});
export type MadeNegativePatch = z.infer<typeof madeNegativePatchSchema>;

export interface MadeNegative extends MadeNegativeInput {
  readonly id: string;
  readonly createdAt: string;
}
