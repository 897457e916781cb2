// The request and the answer of one reading: what lies on the print, where, and the densities measured.
import { z } from "zod";
import { instrumentSchema, type InstrumentTerm } from "./measured/instrument.ts";

/** Most steps, patches or levels that one tablet may have. */
export const maxSteps = 256;

/**
 * Shortest exposure that can be meant [s]: below it, times and doses leave the range in which they can be computed and
 * shown.
 */
export const shortestSeconds = 0.01;
/** Longest time of a step [s]. */
const longestSeconds = 1e7;

/** A point in upright pixels of the picture, origin at the top-left corner. */
export const pointPxSchema = z.tuple([z.number().finite(), z.number().finite()]);
export type PointPx = z.infer<typeof pointPxSchema>;

/**
 * Whole tablet area: top-left, top-right, bottom-right, bottom-left as the tablet is read; step 1 at the first corner's
 * end.
 */
export const cornersSchema = z.tuple([pointPxSchema, pointPxSchema, pointPxSchema, pointPxSchema]);
export type Corners = z.infer<typeof cornersSchema>;

/**
 * How well the tablet as a whole is known in the light of the test; when absent, as well as a tablet's label usually
 * is.
 */
const tabletTrustShape = {
  /** Standard uncertainty of one step's density about the others. */
  toleranceDensity: z.number().min(0).max(0.5).optional(),
  /** Standard uncertainty of all densities in proportion, in the light of the test (share: 0.025 is 2.5 %). */
  scaleSigmaShare: z.number().min(0).max(0.3).optional(),
  /** Standard uncertainty of the clear film that all steps share, in the light of the test. */
  baseSigmaDensity: z.number().min(0).max(0.3).optional(),
};

const stepDensitySchema = z.number().min(0, "a density cannot be below 0").max(6, "no film is denser than 6");

/** A film of known densities, clearest step first. */
const listedTransmissionSchema = z.object({
  kind: z.literal("transmission"),
  densities: z
    .array(stepDensitySchema)
    .min(3, "a tablet needs at least 3 steps")
    .max(maxSteps)
    .refine(
      (densities) => densities.every((density, index) => index === 0 || density > (densities[index - 1] ?? 0)),
      "each step must be denser than the one before: list the clearest first, and look for a slip of the keys",
    ),
  ...tabletTrustShape,
});

/** A film of evenly spaced densities, clearest step first. */
const evenTransmissionSchema = z.object({
  kind: z.literal("transmission"),
  steps: z.int().min(3, "a tablet needs at least 3 steps").max(maxSteps),
  increment: z.number().gt(0, "the increment must be above 0").min(0.001).max(1),
  firstDensity: stepDensitySchema.default(0.05),
  ...tabletTrustShape,
});

/** A strip uncovered in steps: the total seconds of each step, longest first. */
const timedSchema = z.object({
  kind: z.literal("timed"),
  seconds: z
    .array(z.number().gt(0, "a time must be above 0 seconds").min(shortestSeconds).max(longestSeconds))
    .min(3, "a strip needs at least 3 steps")
    .max(maxSteps),
});

/** A strip of known grey levels (positive: 0 prints darkest) printed on the user's own film. */
const levelsSchema = z.object({
  kind: z.literal("levels"),
  levels: z.array(z.number().min(0).max(255)).min(3, "a strip needs at least 3 levels").max(maxSteps),
});

/**
 * Our own wedge sheet printed on the user's own film. Its code names the options; they are needed only when the code
 * cannot be read.
 */
const sheetSchema = z.object({
  kind: z.literal("sheet"),
  levels: z.int().min(5).max(128).optional(),
  replicates: z.int().min(1).max(8).optional(),
  widthMm: z.number().min(80).max(200).optional(),
});

export const tabletSchema = z.union([
  listedTransmissionSchema,
  evenTransmissionSchema,
  timedSchema,
  levelsSchema,
  sheetSchema,
]);
export type Tablet = z.infer<typeof tabletSchema>;

/** Reference patches of known density in the frame (optional correction of camera tone curve and flare). */
const referenceSchema = z.object({
  patches: z
    .array(z.object({ density: z.number().min(0).max(4), at: pointPxSchema }))
    .min(2, "a reference scale needs at least 2 patches")
    .max(64),
  /**
   * True when the patches are steps of a neutral film laid on white paper: then each density is the film's own, in
   * transmitted light, and 0 is bare paper.
   */
  filmOnPaper: z.boolean().optional(),
});
export type Reference = z.infer<typeof referenceSchema>;

/** Who took the picture, where its file does not tell or tells wrong. */
export const takenBySchema = z.enum(["camera", "scanner"]);
export type TakenBy = z.infer<typeof takenBySchema>;

export const readingRequestSchema = z.object({
  tablet: tabletSchema,
  corners: cornersSchema.optional(),
  reference: referenceSchema.optional(),
  /** When absent, as the file tells: a camera's tone is not known, a scanner's is. */
  takenBy: takenBySchema.optional(),
  /** Densities or colours of the steps as an instrument measured them, in place of the picture's. */
  instrument: instrumentSchema.optional(),
});
export type ReadingRequest = z.infer<typeof readingRequestSchema>;

/** A fact about the picture, print or test that the user should know. Codes are stable; messages are plain words. */
export interface Warning {
  readonly code: string;
  readonly message: string;
}

/** One step as measured. Densities are above the unexposed paper. */
export interface ReadingStep {
  /** From 1, in tablet order. */
  readonly index: number;
  /** What this step received: tablet density, seconds, or grey level, by tablet kind. */
  readonly input: number;
  /** Red-channel density above paper (linear red of sRGB primaries). */
  readonly red: number;
  /**
   * Green and blue density above paper (linear sRGB primaries): the step's colour. Absent in grey pictures, wedge
   * sheets and older readings.
   */
  readonly green?: number;
  readonly blue?: number;
  /** Luminance density above paper. */
  readonly visual: number;
  /** L* with the paper as white = its own L* unless the picture has a reference scale; 0-100. */
  readonly lightness: number;
  /** Standard uncertainty of `red` (one step alone: grain, unevenness, rounding). */
  readonly sigma: number;
  /** Standard uncertainty of `visual`. */
  readonly sigmaVisual: number;
  /**
   * Part of `sigma` that lies in the print and is the same in every picture of it: coating, paper. Absent in older
   * readings.
   */
  readonly commonSigma?: number;
  /**
   * Standard uncertainty of `red` by the camera's unknown tone curve and stray light: common to all steps, not part of
   * `sigma`. Absent when it is 0.
   */
  readonly cameraSigma?: number;
  /** Centre of the sampled area, upright pixels. */
  readonly centre: PointPx;
  /** Sampled quadrilateral, upright pixels, for drawing. */
  readonly box: Corners;
  /** Stable codes such as "clipped", "crushed", "out-of-gamut", "uneven", "left-out". */
  readonly flags: readonly string[];
}

/** A patch of exposed coating beside the strip, which no tablet covered. */
export interface BesidePatch {
  /** Along the strip: -1 at its first step's end to 1 at its last's. */
  readonly place: number;
  readonly side: "above" | "below";
  /** Densities above the unexposed paper, and the standard uncertainty of either. */
  readonly red: number;
  readonly visual: number;
  readonly sigma: number;
}

/** What is known of the tone curve and stray light between the print and the picture's numbers. */
export interface CameraTerm {
  /** False when a camera took the picture and nothing in it tells of its tone. */
  readonly toneKnown: boolean;
  /**
   * `no-camera`: a scan, by its file or by what the user says; `patches`: reference patches; `pictures`: the curve
   * from several exposures, stray light and saturation as far as the print's one pigment tells them; `assumption`:
   * what cameras usually do.
   */
  readonly by: "no-camera" | "patches" | "pictures" | "assumption";
  /** True when nothing tells that a camera took the picture: but no scanner's program writes such a file. */
  readonly isSupposed?: boolean;
  /** Standard uncertainty of the contrast of all densities, as a share of each; 0 when the tone is known. */
  readonly gammaSigma: number;
  /**
   * Stray light that is still in the densities, as a share of paper white: what is expected, and its standard
   * uncertainty. Never below 0.
   */
  readonly flareShare: number;
  readonly flareSigma: number;
}

/** What a wedge sheet's print tells beyond its steps. */
export interface SheetReading {
  readonly layout: {
    readonly version: number;
    readonly levels: number;
    readonly replicates: number;
    readonly widthMm: number;
  };
  /**
   * Mark of the correction that the sheet was printed through (`correctionMark` of its test and target, or
   * `keptCurveMark`), or null for a first sheet.
   */
  readonly correctionMark: string | null;
  /** True when the print reads mirrored: the other side of the film lay on the coating. */
  readonly mirrored: boolean;
  /**
   * True when the film was printed as a positive; the steps' inputs are turned round to what the film really carried.
   */
  readonly inverted: boolean;
  readonly registration: "code-and-marks" | "marks" | "corners";
  /** What densities count from; absent in readings made before it was told. */
  readonly zero?:
    | { readonly of: "own-white" }
    /** Red density of the sheet's own white above bare paper, with its standard uncertainty. */
    | { readonly of: "bare-paper"; readonly veilRed: number; readonly sigma: number };
  /**
   * Smooth part of the print's unevenness over the patch grid as the sheet is read, row by row: density above or below
   * the level's mean [% of it].
   */
  readonly unevenness: {
    readonly columns: number;
    readonly rows: number;
    readonly percent: readonly number[];
    readonly worstPercent: number;
  };
  /** Every patch, for drawing: its step's index, red density above paper, sampled quadrilateral. */
  readonly patches: readonly {
    readonly index: number;
    readonly red: number;
    readonly box: Corners;
    readonly leftOut: boolean;
  }[];
}

export interface Reading {
  readonly image: {
    readonly width: number;
    readonly height: number;
    readonly bitsPerChannel: number;
    /** Plain name of the tone curve and primaries used, such as "sRGB (assumed, untagged)". */
    readonly profile: string;
  };
  readonly location: {
    readonly method: "found" | "given";
    readonly corners: Corners;
    /** Share 0-1: 1 for given corners, less where the picture speaks against them. */
    readonly confidence: number;
    /** Another usual number of steps that fits the picture clearly better than the declared one. */
    readonly looksLikeSteps?: number;
  };
  /** For a sheet: one step a level, rising; `centre` and `box` are those of its first patch. */
  readonly steps: readonly ReadingStep[];
  /** Exposed coating along the strip's long sides, where the picture shows it. */
  readonly coatingBeside?: readonly BesidePatch[];
  readonly warnings: readonly Warning[];
  /** Absent in older readings and for wedge sheets, whose densities are judged among themselves. */
  readonly camera?: CameraTerm;
  /** Only when an instrument measured the steps: which scale they are on, and how the picture's densities differ. */
  readonly instrument?: InstrumentTerm;
  /** Only when the tablet was our wedge sheet. */
  readonly sheet?: SheetReading;
}
