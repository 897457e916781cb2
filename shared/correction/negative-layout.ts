// Where the picture, its margins, marks and caption lie on the film, in whole pixels; larger pictures become tiles.
import { TroubleError } from "#shared/errors.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { NegativeTrouble } from "./correction-facts.ts";

const mmPerInch = 25.4;
/** Height of the caption strip [mm]. */
const captionStripMm = 6;
/** Least margin that registration marks need [mm]. */
const markMarginMm = 6;
/** Length and width of a registration mark's lines [mm]. */
const markLengthMm = 4;
const markWidthMm = 0.15;
/** Most pixels of one sheet and of all together: what fits into memory beside the picture. */
const mostPagePixels = 250e6;
const mostPixels = 500e6;

export interface RectanglePx {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** One sheet of film as the print is read, before mirroring. */
export interface NegativePage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Part of the whole picture on this sheet, in pixels of the whole picture. */
  readonly part: RectanglePx;
  /** Where that part's top-left corner lies on the sheet. */
  readonly left: number;
  readonly top: number;
  /** Thin lines in the margin. */
  readonly marks: readonly RectanglePx[];
  /** Strip for the caption; null when there is none. */
  readonly caption: RectanglePx | null;
  readonly row: number;
  readonly column: number;
}

export interface NegativeLayout {
  /** The whole picture. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rows: number;
  readonly columns: number;
  /** Tiles row by row. */
  readonly pages: readonly NegativePage[];
}

type LayoutRequest = Pick<
  NegativeRequest,
  | "widthMm"
  | "dpi"
  | "crop"
  | "marginMm"
  | "registrationMarks"
  | "caption"
  | "filmWidthMm"
  | "filmHeightMm"
  | "overlapMm"
>;

/** Pixels of a length. @example pixelsOf(100, 300) // 1181 */
export function pixelsOf(mm: number, dpi: number): number {
  return Math.round((mm / mmPerInch) * dpi);
}

/**
 * Layout of a negative.
 * @param picture size of the upright picture [px]
 * @throws TroubleError when the film is too small for its margins, or the negative too large
 */
export function negativeLayout(
  request: LayoutRequest,
  picture: { readonly width: number; readonly height: number },
): NegativeLayout {
  const { dpi, crop } = request;
  const px = (mm: number) => pixelsOf(mm, dpi);
  const widthPx = Math.max(1, px(request.widthMm));
  const heightPx = Math.max(1, Math.round((widthPx * crop.height * picture.height) / (crop.width * picture.width)));
  const marginMm = request.registrationMarks ? Math.max(request.marginMm, markMarginMm) : request.marginMm;
  const margin = px(marginMm);
  const strip = request.caption ? px(captionStripMm) : 0;
  const overlap = px(request.overlapMm);
  const across = tiling({
    size: widthPx,
    film: request.filmWidthMm,
    room: (film) => px(film) - 2 * margin,
    overlap,
    field: "filmWidthMm",
  });
  const down = tiling({
    size: heightPx,
    film: request.filmHeightMm,
    room: (film) => px(film) - 2 * margin - strip,
    overlap,
    field: "filmHeightMm",
  });
  const pages = down.flatMap((y, row) =>
    across.map((x, column): NegativePage => {
      const part = { x: x.start, y: y.start, width: x.length, height: y.length };
      const page = { widthPx: part.width + 2 * margin, heightPx: part.height + 2 * margin + strip };
      return {
        ...page,
        part,
        left: margin,
        top: margin,
        marks: request.registrationMarks ? marksFor({ part, margin, overlap, whole: { widthPx, heightPx }, px }) : [],
        caption: strip === 0 ? null : { x: margin, y: margin + part.height + margin, width: part.width, height: strip },
        row,
        column,
      };
    }),
  );
  const total = pages.reduce((sum, page) => sum + page.widthPx * page.heightPx, 0);
  if (total > mostPixels || pages.some((page) => page.widthPx * page.heightPx > mostPagePixels)) {
    throw new TroubleError<NegativeTrouble>(
      "picture-too-large",
      {
        code: "negative-too-large",
        pixels: total,
        sheets: pages.length,
        mostPixels,
        mostSheetPixels: mostPagePixels,
      },
      { field: "dpi" },
    );
  }
  return { widthPx, heightPx, rows: down.length, columns: across.length, pages };
}

/**
 * The sheets that shall be made: all of them, or the one tile that was asked for.
 * @throws TroubleError when there is no such tile, or when a PNG would have to hold several sheets
 */
export function wantedPages(
  { pages }: NegativeLayout,
  { tile, format }: Pick<NegativeRequest, "tile" | "format">,
): readonly NegativePage[] {
  if (tile !== null && tile !== undefined) {
    const page = pages[tile - 1];
    if (page === undefined)
      throw new TroubleError<NegativeTrouble>(
        "bad-request",
        { code: "no-such-sheet", sheets: pages.length },
        { field: "tile", extra: { sheets: pages.length } },
      );
    return [page];
  }
  if (format === "png" && pages.length > 1) {
    throw new TroubleError<NegativeTrouble>(
      "bad-request",
      { code: "picture-file-holds-one-sheet", sheets: pages.length },
      { field: "format", extra: { sheets: pages.length } },
    );
  }
  return pages;
}

/** Even parts of a length with overlap, each no longer than the film has room for. */
function tiling({
  size,
  film,
  room,
  overlap,
  field,
}: {
  size: number;
  film: number | null | undefined;
  room: (film: number) => number;
  overlap: number;
  field: string;
}): { start: number; length: number }[] {
  const space = film === null || film === undefined ? Infinity : room(film);
  if (size <= space) return [{ start: 0, length: size }];
  if (space < 2 * overlap + 10)
    throw new TroubleError<NegativeTrouble>("bad-request", { code: "negative-film-too-small" }, { field });
  const count = Math.ceil((size - overlap) / (space - overlap));
  const length = Math.ceil((size + (count - 1) * overlap) / count);
  return Array.from({ length: count }, (_, index) => ({
    start: Math.round((index * (size - length)) / (count - 1)),
    length,
  }));
}

/** Lines in the margin at each corner of the part and, where it overlaps a neighbour, at the middle of the overlap. */
function marksFor({
  part,
  margin,
  overlap,
  whole,
  px,
}: {
  part: RectanglePx;
  margin: number;
  overlap: number;
  whole: { widthPx: number; heightPx: number };
  px: (mm: number) => number;
}): RectanglePx[] {
  const length = Math.min(px(markLengthMm), margin - 2);
  const width = Math.max(1, px(markWidthMm));
  const gap = Math.floor((margin - length) / 2);
  const right = margin + part.width;
  const bottom = margin + part.height;
  const atX = [0, part.width - width];
  const atY = [0, part.height - width];
  if (part.x > 0) atX.push(Math.round(overlap / 2));
  if (part.x + part.width < whole.widthPx) atX.push(part.width - Math.round(overlap / 2));
  if (part.y > 0) atY.push(Math.round(overlap / 2));
  if (part.y + part.height < whole.heightPx) atY.push(part.height - Math.round(overlap / 2));
  return [
    ...atX.flatMap((x) => [gap, bottom + gap].map((y) => ({ x: margin + x, y, width, height: length }))),
    ...atY.flatMap((y) => [gap, right + gap].map((x) => ({ x, y: margin + y, width: length, height: width }))),
  ];
}
