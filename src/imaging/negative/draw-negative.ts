// A picture file becomes the corrected negative: grey, resized, sharpened, corrected, dithered, framed and mirrored,
// row by row.
import {
  negativeLayout,
  wantedPages,
  type NegativeLayout,
  type NegativePage,
  type RectanglePx,
} from "#shared/correction/negative-layout.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import type { NegativeWarning } from "#shared/correction/correction-facts.ts";
import type { ProfileWarning } from "#shared/reading/reading-facts.ts";
import { letterMask, type LetterMask } from "../letters.ts";
import { code16 } from "./code16.ts";
import { greySource, inspectSource, type GreySource } from "./grey-source.ts";
import { RowPacker } from "./row-packer.ts";
import { resamplingTaps, RowResampler } from "./resample.ts";
import { sharpenedRows } from "./sharpen-rows.ts";

export interface NegativeJob {
  /** Picture file on the disk. */
  readonly file: string;
  /** Folder for one temporary file. */
  readonly workFolder: string;
  readonly request: NegativeRequest;
  /** Film value for each 16-bit grey of the positive, in 1/256 of a film level. */
  readonly tone: Uint16Array;
  /** Text of the caption strip. */
  readonly caption: string;
}

export interface MadeNegative {
  /** One packed picture a sheet of film, or the one that was asked for. */
  readonly pages: readonly PackedPicture[];
  readonly rows: number;
  readonly columns: number;
  /** Size of the whole printed picture, pixels. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly warnings: readonly (ProfileWarning | NegativeWarning)[];
}

/**
 * Pixels of the print for one of the picture below which it looks soft: enlarging more than this is said. common
 * practice, no source
 */
const softEnlargement = 3;
/** A source this much finer than the print is made smaller while it is decoded. */
const finerThanNeeded = 2;
/** Length of the noise table; a power of two. */
const noiseLength = 1 << 16;
const opaqueLevel = 255;
const captionShare = 0.6;

/** @throws TroubleError when the picture cannot be read or does not fit the film */
export async function drawNegative(
  job: NegativeJob,
  { onProgress }: { onProgress: (share: number) => void },
): Promise<MadeNegative> {
  const { request } = job;
  const inspected = await inspectSource(job.file);
  const layout = negativeLayout(request, inspected);
  const wanted = wantedPages(layout, request);
  const mostWidth = Math.ceil((finerThanNeeded * layout.widthPx) / request.crop.width);
  const source = await greySource(inspected, {
    weights: request.greyWeights,
    mostWidth,
    workFolder: job.workFolder,
    onProgress,
  });
  onProgress(0.35);
  const total = wanted.reduce((sum, page) => sum + page.heightPx, 0);
  const pages: PackedPicture[] = [];
  let rowsDone = 0;
  for (const page of wanted) {
    pages.push(
      await writePage({ job, layout, page, source }, (row) => {
        if (row % 256 === 0) onProgress(0.35 + (0.65 * (rowsDone + row)) / total);
      }),
    );
    rowsDone += page.heightPx;
  }
  return {
    pages,
    rows: layout.rows,
    columns: layout.columns,
    widthPx: layout.widthPx,
    heightPx: layout.heightPx,
    warnings: [...source.warnings, ...sizeWarnings(request, layout, inspected)],
  };
}

function sizeWarnings(
  request: NegativeRequest,
  layout: NegativeLayout,
  picture: { readonly width: number },
): NegativeWarning[] {
  const enlargement = layout.widthPx / (picture.width * request.crop.width);
  return enlargement <= softEnlargement
    ? []
    : [{ code: "picture-coarse", picturePixelsPerInch: request.dpi / enlargement }];
}

/** Film value of a grey level of the positive without correction: what lies outside the picture. */
function plainFilmValue(level: number, request: NegativeRequest): number {
  return request.invert ? 255 - level : level;
}

async function writePage(
  { job, layout, page, source }: { job: NegativeJob; layout: NegativeLayout; page: NegativePage; source: GreySource },
  onRow: (row: number) => void,
): Promise<PackedPicture> {
  const { request, tone } = job;
  const { width, height } = page.part;
  const readRow = partRows(source, request, layout, page.part);
  const sharpened = sharpenedRows({ width, height, dpi: request.dpi, amount: request.sharpening / 100, readRow });
  const marginLevel = request.marginTone === "opaque" ? opaqueLevel : 0;
  const marginValue = plainFilmValue(marginLevel, request);
  const inkValue = plainFilmValue(opaqueLevel - marginLevel, request);
  const overlay = await pageOverlay(page, job.caption);
  const noise = ditherNoise();
  const values = new Float32Array(width);
  const row = new Uint8Array(page.widthPx);
  const packer = new RowPacker({ width: page.widthPx, height: page.heightPx });
  for (let y = 0; y < page.heightPx; y++) {
    row.fill(marginValue);
    const inside = y - page.top;
    if (inside >= 0 && inside < height) {
      sharpened(inside, values);
      toFilm(values, tone, noise, ((inside + page.part.y) * 40_503) & (noiseLength - 1), row, page.left);
    }
    overlay(y, row, inkValue);
    if (request.mirror) row.reverse();
    const full = packer.row(row);
    if (full !== undefined) {
      onRow(y);
      await full;
    }
  }
  return packer.end();
}

/** Rows of one part of the resized picture, 16-bit greys. */
function partRows(
  source: GreySource,
  request: NegativeRequest,
  layout: NegativeLayout,
  part: RectanglePx,
): (y: number, out: Float32Array) => void {
  const { crop } = request;
  // The part of the source that the crop names; whole pixels where they are meant.
  const from = (start: number, length: number, size: number) => ({
    start: wholeWhereMeant(start * size),
    length: wholeWhereMeant(length * size),
  });
  const resampler = new RowResampler({
    across: resamplingTaps({
      size: source.width,
      from: from(crop.x, crop.width, source.width),
      to: layout.widthPx,
      part: { start: part.x, length: part.width },
    }),
    down: resamplingTaps({
      size: source.height,
      from: from(crop.y, crop.height, source.height),
      to: layout.heightPx,
      part: { start: part.y, length: part.height },
    }),
    rowAt: (y) => source.grey.subarray(y * source.width, (y + 1) * source.width),
  });
  return (y, out) => resampler.row(y, out);
}

function wholeWhereMeant(value: number): number {
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-3 ? whole : value;
}

/**
 * Greys of the positive to 8-bit film values: table, then noise below one level, so that smooth tones do not break into
 * bands.
 */
function toFilm(
  values: Float32Array,
  tone: Uint16Array,
  noise: Uint8Array,
  offset: number,
  row: Uint8Array,
  left: number,
): void {
  const mask = noiseLength - 1;
  for (let x = 0; x < values.length; x++) {
    row[left + x] = (tone[code16(values[x]! + 0.5)]! + noise[(offset + x) & mask]!) >> 8;
  }
}

/** Even noise 0-255, the same each time (a linear congruential generator; constants from memory). */
function ditherNoise(): Uint8Array {
  let state = 1;
  return Uint8Array.from({ length: noiseLength }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state >>> 24;
  });
}

/** Draws marks and caption into a row, before mirroring. */
async function pageOverlay(
  page: NegativePage,
  caption: string,
): Promise<(y: number, row: Uint8Array, ink: number) => void> {
  const strip = page.caption;
  const mask: LetterMask | null =
    strip === null || caption === ""
      ? null
      : await letterMask({ text: caption, heightPx: strip.height * captionShare, mostWidthPx: strip.width });
  const captionTop = strip === null || mask === null ? 0 : strip.y + Math.floor((strip.height - mask.height) / 2);
  return (y, row, ink) => {
    for (const mark of page.marks)
      if (y >= mark.y && y < mark.y + mark.height) row.fill(ink, mark.x, mark.x + mark.width);
    if (strip === null || mask === null || y < captionTop || y >= captionTop + mask.height) return;
    const line = (y - captionTop) * mask.width;
    for (let x = 0; x < mask.width && strip.x + x < row.length; x++)
      if (mask.ink[line + x]! >= 128) row[strip.x + x] = ink;
  };
}
