// Everything about one rendered picture, and the truth that goes with it. Lengths on the print in mm, x along the
// tablet from step 1's end, y across it, origin at the tablet's first corner; lengths in the picture in upright pixels.
import type { Corners, PointPx, ReadingRequest, Tablet } from "#shared/schema/reading.ts";
import type { Pigment } from "./colour.ts";
import type { Response } from "./response.ts";

type Support = "paper" | "cotton";

export interface StripPrint {
  readonly tablet: Tablet;
  readonly exposureSeconds: number;
  /** True log exposure of each step, errors of the tablet included, and without them. */
  readonly logH: readonly number[];
  readonly nominalLogH: readonly number[];
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Where each step begins along the strip, and the end: shares of the length. Stretched cloth makes them uneven. */
  readonly boundaries: readonly number[];
  readonly response: Response;
  readonly pigment: Pigment;
  readonly support: Support;
  /** What lies round the strip: paper that was masked, or coating that got the whole exposure. */
  readonly surround: "white" | "blue";
  /** Width of the coated border round a strip in blue [mm]: left, top, right, bottom. */
  readonly coatedBorderMm: readonly [number, number, number, number];
  /** How far a brushed edge wanders [mm]. */
  readonly brushMm: number;
  /** Cloudiness of the coating: share of the pigment (one standard deviation), and its length. */
  readonly cloudShare: number;
  readonly cloudMm: number;
  readonly streakShare: number;
  /** Tooth of the paper: share of reflectance. */
  readonly toothShare: number;
  readonly threadMm: number;
  readonly weaveShare: number;
  readonly weavePigmentShare: number;
  /** Paper beyond the strip on all four sides [mm]; the table lies beyond it. */
  readonly sheetBorderMm: readonly [number, number, number, number];
  readonly tableRgb: readonly [number, number, number];
  /** Thin lines between the steps, as some tablets have: pigment left under them, or null for none. */
  readonly dividerPigmentShare: number | null;
  /** What only some tablets, brushes and tables bring; left out where there is none of it. */
  readonly marks?: PrintMarks;
}

export interface PrintMarks {
  /**
   * Lines between all steps that hold back all light (0) or let it through, as a share of the most pigment; and their
   * width [mm].
   */
  readonly line: { readonly pigmentShare: number; readonly widthMm: number } | null;
  /** Opaque numbers printed in the steps: height as a share of the strip's, and place across it (0 to 1). */
  readonly numbers: { readonly heightShare: number; readonly across: number } | null;
  /** Length of the lobes of a torn brush edge [mm]; null for a plain one. */
  readonly lobesMm: number | null;
  /** Lines of a grid on the table. */
  readonly grid: { readonly spacingMm: number; readonly rgb: readonly [number, number, number] } | null;
  /** Grain of the table: contrast, and length along and across [mm]. */
  readonly tableGrain: { readonly share: number; readonly lengthMm: number; readonly widthMm: number };
}

type ThingShape = "rectangle" | "disc" | "line";

/** Something lying on or beside the print. */
export interface Thing {
  readonly name:
    | "ruler"
    | "coin"
    | "pencil"
    | "sticker"
    | "hair"
    | "speck"
    | "reference-patch"
    | "card"
    | "second-print"
    | "colour-chart";
  readonly shape: ThingShape;
  readonly centreMm: readonly [number, number];
  readonly sizeMm: readonly [number, number];
  readonly turnedDegrees: number;
  readonly rgb: readonly [number, number, number];
  /** Marks every so many mm along a ruler, 0 for none. */
  readonly ticksMm: number;
  /** Colours of bands along it, instead of one. */
  readonly bandsRgb?: readonly (readonly [number, number, number])[];
}

/** The edge of something that shades part of the print. */
export interface Shadow {
  /** A place on the edge [mm], the direction across it (towards the shade), and how soft it is [mm]. */
  readonly atMm: readonly [number, number];
  readonly turnedDegrees: number;
  readonly softMm: number;
  /** Share of the light that is left. */
  readonly light: number;
}

export interface Camera {
  readonly kind: "scan" | "photo";
  readonly widthPx: number;
  readonly heightPx: number;
  /** Turn of the strip in the picture [degrees, clockwise]; 0 puts step 1 at the left. */
  readonly turnDegrees: number;
  /** How far the camera leans from square to the print, and the direction of the lean in the picture. */
  readonly tiltDegrees: number;
  readonly leanDegrees: number;
  /** Length of the strip in the picture. */
  readonly stripPx: number;
  /** Where the strip's middle lies in the picture, shares of width and height. */
  readonly aim: readonly [number, number];
  /** Focal length as a share of the longer side. */
  readonly focalShare: number;
  /** Linear level of a perfect white where the light is best. */
  readonly whiteLevel: number;
  readonly gains: readonly [number, number, number];
  /** Loss of light across the sheet's longer side, share, and its direction on the print. */
  readonly fallOffShare: number;
  readonly fallOffDegrees: number;
  /** Share of the cosine-fourth loss towards the corners that the device leaves in. */
  readonly vignetteShare: number;
  readonly blurPx: number;
  /** Noise of the linear signal: standing part, and the part that grows with the root of it. */
  readonly readNoise: number;
  readonly shotNoise: number;
  readonly sharpenAmount: number;
  readonly sharpenPx: number;
  /** Light spread evenly over the picture, share of the mean. */
  readonly flareShare: number;
  /** Bend of the S-shaped tone curve; 0 for exact sRGB. */
  readonly toneBend: number;
  /** Barrel (below 0) or pincushion bend of the lens: share by which the corner of the picture moves. */
  readonly lensBend?: number;
  readonly shadow?: Shadow;
}

export interface FileKind {
  readonly format: "jpeg" | "png" | "tiff" | "webp";
  readonly bits: 8 | 16;
  readonly quality: number;
  readonly chroma: "4:2:0" | "4:4:4";
  /** EXIF orientation 1, 3, 6 or 8. */
  readonly orientation: 1 | 3 | 6 | 8;
}

export interface Scene {
  readonly seed: number;
  readonly name: string;
  readonly kind: SceneKind;
  readonly print: StripPrint;
  readonly things: readonly Thing[];
  readonly camera: Camera;
  readonly file: FileKind;
  readonly filmDensity: number;
  /** Absolute densities of reference patches among the things, in their order; empty for none. */
  readonly referenceDensities: readonly number[];
}

export type SceneKind = "scan" | "photo" | "toned-photo" | "cotton";

export interface StepTruth {
  readonly index: number;
  readonly input: number;
  /** What the reader may assume, and what the step really got. */
  readonly logH: number;
  readonly actualLogH: number;
  /**
   * Density above the unexposed paper of the even print (no clouds, grain or light), linear sRGB red; null outside the
   * gamut.
   */
  readonly red: number | null;
  /**
   * The same, averaged over the middle of this very print, clouds and weave included: what a densitometer would find.
   */
  readonly redPrinted: number | null;
  readonly visual: number;
  readonly visualPrinted: number;
  /** L* with the unexposed paper at 100, and with a perfect white at 100; both as printed. */
  readonly lightnessToPaper: number;
  readonly lightness: number;
  /** Share of the step's middle that things cover. */
  readonly coveredShare: number;
  readonly centre: PointPx;
}

export interface Truth {
  readonly note: string;
  readonly name: string;
  readonly kind: SceneKind;
  readonly seed: number;
  readonly picture: {
    readonly width: number;
    readonly height: number;
    readonly format: string;
    readonly bits: number;
    readonly orientation: number;
  };
  readonly corners: Corners;
  readonly request: ReadingRequest;
  readonly exposureSeconds: number;
  readonly filmDensity: number;
  readonly steps: readonly StepTruth[];
  /** Of the even print, red density: least, most, and the point at 90 % of the way between them. */
  readonly curve: {
    readonly dMin: number;
    readonly dMax: number;
    readonly shoulderLogH: number;
    readonly shoulderDensity: number;
    readonly toeLogH: number;
  };
  /** Time that carries the clear film to the shoulder. */
  readonly shoulderSeconds: number;
  /** Smallest and largest red density among the steps, as shares of the net maximum. */
  readonly coverage: { readonly least: number; readonly most: number };
  /** What was done to the picture, in plain words. */
  readonly disturbances: readonly string[];
}
