// A picture file becomes the corrected negative: its grey is laid out over sheets of film, and each is written.
import { join } from "node:path";
import {
  negativeLayout,
  wantedPages,
  type NegativeLayout,
  type NegativePage,
} from "#shared/correction/layout/negative-layout.ts";
import type { RectanglePx } from "#shared/correction/rectangle-px.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import type { NegativeWarning } from "#shared/correction/correction-facts.ts";
import type { ProfileWarning } from "#shared/reading/reading-facts.ts";
import { greySource, inspectSource } from "./grey-source.ts";
import { TiffWriter } from "./plain-file.ts";
import { RowPacker } from "./row-packer.ts";
import { rowForm } from "./row-sink.ts";
import { writePage } from "./write-page.ts";

export interface NegativeJob {
  /** Picture file on the disk. */
  readonly file: string;
  /** Folder for temporary files. */
  readonly workFolder: string;
  readonly request: NegativeRequest;
  /** Film value for each 16-bit grey of the positive, in 1/256 of a film level. */
  readonly tone: Uint16Array;
  /** Text of the caption strip; the number of a sheet is put before it. */
  readonly caption: string;
  /** Film values of the small strip's patches, in 1/256 of a film level; empty without one. */
  readonly strip?: readonly number[];
  /** Only a window of the printed picture, without its margins: middle as shares of it, and size in pixels. */
  readonly window?: { readonly x: number; readonly y: number; readonly widthPx: number; readonly heightPx: number };
}

/** One sheet as the file holds it: packed rows, or a whole TIFF file. */
interface DrawnSheetOfFilm {
  readonly picture: PackedPicture | { readonly tiff: Uint8Array };
  readonly filmMm: NegativePage["filmMm"];
}

export interface MadeNegative {
  /** One a sheet of film, or the one that was asked for. */
  readonly sheets: readonly DrawnSheetOfFilm[];
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

/** @throws TroubleError when the picture cannot be read or does not fit the film */
export async function drawNegative(
  job: NegativeJob,
  { onProgress }: { onProgress: (share: number) => void },
): Promise<MadeNegative> {
  const { request, workFolder } = job;
  const inspected = await inspectSource(job.file);
  const layout = negativeLayout(request, inspected);
  const wanted = job.window === undefined ? wantedPages(layout, request) : [windowPage(layout, job.window)];
  const mostWidth = Math.ceil((finerThanNeeded * layout.widthPx) / request.crop.width);
  const source = await greySource(inspected, { weights: request.greyWeights, mostWidth, workFolder, onProgress });
  onProgress(0.35);
  const total = wanted.reduce((sum, page) => sum + page.heightPx, 0);
  const sheets: DrawnSheetOfFilm[] = [];
  let rowsDone = 0;
  for (const page of wanted) {
    const form = rowForm(page, request);
    const caption = sheetCaption(job.caption, layout, page);
    const onRow = (row: number) => {
      if (row % 256 === 0) onProgress(0.35 + (0.65 * (rowsDone + row)) / total);
    };
    const parts = { request, tone: job.tone, caption, strip: job.strip ?? [], layout, page, source };
    const picture =
      request.format === "tiff"
        ? {
            tiff: await writePage(
              { ...parts, highFirst: false },
              new TiffWriter(form, { file: join(workFolder, "rows.v"), dpi: request.dpi }),
              onRow,
            ),
          }
        : await writePage({ ...parts, highFirst: true }, new RowPacker(form), onRow);
    sheets.push({ picture, filmMm: page.filmMm });
    rowsDone += page.heightPx;
  }
  return {
    sheets,
    rows: layout.rows,
    columns: layout.columns,
    widthPx: layout.widthPx,
    heightPx: layout.heightPx,
    warnings: [...source.warnings, ...sizeWarnings(request, layout, inspected)],
  };
}

/** The strip's text: of several sheets each says which it is. */
function sheetCaption(caption: string, { pages, columns }: NegativeLayout, page: NegativePage): string {
  if (pages.length === 1) return caption;
  const number = `${page.row * columns + page.column + 1} / ${pages.length}`;
  return caption === "" ? number : `${number}, ${caption}`;
}

/** A sheet that is nothing but a window of the whole picture, pushed inside it where it hangs over. */
function windowPage(layout: NegativeLayout, window: NonNullable<NegativeJob["window"]>): NegativePage {
  const along = (share: number, size: number, whole: number) => {
    const length = Math.min(size, whole);
    return { start: Math.round(Math.min(whole - length, Math.max(0, share * whole - length / 2))), length };
  };
  const x = along(window.x, window.widthPx, layout.widthPx);
  const y = along(window.y, window.heightPx, layout.heightPx);
  const part: RectanglePx = { x: x.start, y: y.start, width: x.length, height: y.length };
  return {
    widthPx: x.length,
    heightPx: y.length,
    filmMm: null,
    block: { x: 0, y: 0, width: x.length, height: y.length },
    part,
    keep: part,
    left: 0,
    top: 0,
    marks: [],
    caption: null,
    strip: null,
    row: 0,
    column: 0,
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
