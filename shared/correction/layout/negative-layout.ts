// Where the picture, its margins, marks and caption lie on the film, in whole pixels; larger pictures become tiles.
import { TroubleError } from "#shared/errors.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { NegativeTrouble } from "#shared/correction/correction-facts.ts";
import { cuttingMarks } from "./cutting-marks.ts";
import { marginStrip, stripRoomMm, type MarginStrip } from "#shared/correction/strip/margin-strip.ts";
import { millimetresOf, pictureSizePx, pixelsOf } from "#shared/correction/picture-size.ts";
import type { RectanglePx } from "#shared/correction/rectangle-px.ts";
import { stretches, type Stretch } from "./tiling.ts";

/** Height of the caption strip [mm]. */
const captionStripMm = 6;
/** Least margin that marks need [mm]. */
const markMarginMm = 6;
/** Most pixels of one sheet and of all together: what fits into memory beside the picture. */
const mostPagePixels = 250e6;
const mostPixels = 500e6;

/** One sheet of film as the print is read, before mirroring. */
export interface NegativePage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** The film's own size where it is given: what the page of a PDF measures [mm]. */
  readonly filmMm: { readonly width: number; readonly height: number } | null;
  /** Picture with its margins and caption; beyond it the film stays without ink. */
  readonly block: RectanglePx;
  /** Part of the whole picture on this sheet, in pixels of the whole picture. */
  readonly part: RectanglePx;
  /** What is left of the part when the sheet is cut along its marks, in pixels of the whole picture. */
  readonly keep: RectanglePx;
  /** Where that part's top-left corner lies on the sheet. */
  readonly left: number;
  readonly top: number;
  /** Thin lines in the margin. */
  readonly marks: readonly RectanglePx[];
  /** Strip for the caption; null when there is none. */
  readonly caption: RectanglePx | null;
  /** Small strip of patches under the picture; null when there is none. */
  readonly strip: MarginStrip | null;
  readonly row: number;
  readonly column: number;
}

export interface NegativeLayout {
  /** The whole picture. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rows: number;
  readonly columns: number;
  /** Tiles row by row, as the print is read. */
  readonly pages: readonly NegativePage[];
}

type LayoutRequest = Pick<
  NegativeRequest,
  | "widthMm"
  | "heightMm"
  | "longSideMm"
  | "dpi"
  | "crop"
  | "marginMm"
  | "registrationMarks"
  | "caption"
  | "marginStrip"
  | "filmWidthMm"
  | "filmHeightMm"
  | "filmMayTurn"
  | "overlapMm"
>;

/**
 * Layout of a negative.
 * @param picture size of the upright picture [px]
 * @throws TroubleError when the film is too small for its margins, or the negative too large
 */
export function negativeLayout(
  request: LayoutRequest,
  picture: { readonly width: number; readonly height: number },
): NegativeLayout {
  const turned = { ...request, filmWidthMm: request.filmHeightMm, filmHeightMm: request.filmWidthMm };
  if (!request.filmMayTurn || request.filmWidthMm == null || request.filmHeightMm == null)
    return sizeChecked(layoutOn(request, picture));
  // Fewer sheets win; of equal ones the film that stands as the picture does.
  const isWide = picture.width * request.crop.width > picture.height * request.crop.height;
  const isFilmWide = request.filmWidthMm > request.filmHeightMm;
  const [first, second] = isWide === isFilmWide ? [request, turned] : [turned, request];
  const [a, b] = [fittedOrNull(first, picture), fittedOrNull(second, picture)];
  if (a !== null && (b === null || a.pages.length <= b.pages.length)) return sizeChecked(a);
  return sizeChecked(b ?? layoutOn(first, picture));
}

function fittedOrNull(request: LayoutRequest, picture: { width: number; height: number }): NegativeLayout | null {
  try {
    return layoutOn(request, picture);
  } catch (error) {
    if (error instanceof TroubleError) return null;
    throw error;
  }
}

function sizeChecked(layout: NegativeLayout): NegativeLayout {
  const total = layout.pages.reduce((sum, page) => sum + page.widthPx * page.heightPx, 0);
  if (total <= mostPixels && layout.pages.every((page) => page.widthPx * page.heightPx <= mostPagePixels))
    return layout;
  throw new TroubleError<NegativeTrouble>(
    "picture-too-large",
    {
      code: "negative-too-large",
      pixels: total,
      sheets: layout.pages.length,
      mostPixels,
      mostSheetPixels: mostPagePixels,
    },
    { field: "dpi" },
  );
}

function layoutOn(
  request: LayoutRequest,
  picture: { readonly width: number; readonly height: number },
): NegativeLayout {
  const { widthPx, heightPx } = pictureSizePx(request, picture);
  const single = splitOn(request, { widthPx, heightPx }, { marks: request.registrationMarks, strip: request.caption });
  // Sheets that are to be cut and joined need their marks, and their numbers stand in the strip.
  const { across, down, margin, strip } =
    single.across.length * single.down.length === 1
      ? single
      : splitOn(request, { widthPx, heightPx }, { marks: true, strip: true });
  const isTiled = across.length * down.length > 1;
  const marks = request.registrationMarks || isTiled;
  const pages = down.flatMap((y, row) =>
    across.map((x, column) =>
      pageOf(request, {
        x,
        y,
        row,
        column,
        margin,
        strip,
        marks: marks ? { whole: { widthPx, heightPx }, corners: request.registrationMarks } : null,
      }),
    ),
  );
  return { widthPx, heightPx, rows: down.length, columns: across.length, pages };
}

/** Stretches across and down, with the margin and the strip that they leave room for. */
function splitOn(
  request: LayoutRequest,
  size: { widthPx: number; heightPx: number },
  needs: { marks: boolean; strip: boolean },
): { across: readonly Stretch[]; down: readonly Stretch[]; margin: number; strip: number } {
  const px = (mm: number) => pixelsOf(mm, request.dpi);
  const margin = px(needs.marks ? Math.max(request.marginMm, markMarginMm) : request.marginMm);
  const strip = needs.strip ? px(captionStripMm) : 0;
  const overlap = px(request.overlapMm);
  const along = (length: number, filmMm: number | null | undefined, taken: number, field: string) => {
    const space = filmMm === null || filmMm === undefined ? Infinity : px(filmMm) - taken;
    const found = stretches({ size: length, space, overlap });
    if (found === null)
      throw new TroubleError<NegativeTrouble>("bad-request", { code: "negative-film-too-small" }, { field });
    return found;
  };
  return {
    across: along(size.widthPx, request.filmWidthMm, 2 * margin, "filmWidthMm"),
    down: along(size.heightPx, request.filmHeightMm, 2 * margin + strip + stripRoom(request), "filmHeightMm"),
    margin,
    strip,
  };
}

/** Height of the small strip with its gap [px]. */
function stripRoom({ marginStrip: isWanted, dpi }: LayoutRequest): number {
  return isWanted ? pixelsOf(stripRoomMm, dpi) : 0;
}

interface PageParts {
  readonly x: Stretch;
  readonly y: Stretch;
  readonly row: number;
  readonly column: number;
  readonly margin: number;
  readonly strip: number;
  readonly marks: { readonly whole: { widthPx: number; heightPx: number }; readonly corners: boolean } | null;
}

/** One sheet: the block of picture, margins and strip in the middle of the film. */
function pageOf(request: LayoutRequest, { x, y, row, column, margin, strip, marks }: PageParts): NegativePage {
  const part = { x: x.start, y: y.start, width: x.length, height: y.length };
  const keep = { x: x.keepStart, y: y.keepStart, width: x.keepEnd - x.keepStart, height: y.keepEnd - y.keepStart };
  const below = stripRoom(request);
  const blockSize = { width: part.width + 2 * margin, height: part.height + 2 * margin + strip + below };
  const { filmWidthMm, filmHeightMm, dpi } = request;
  const widthPx = filmWidthMm == null ? blockSize.width : pixelsOf(filmWidthMm, dpi);
  const heightPx = filmHeightMm == null ? blockSize.height : pixelsOf(filmHeightMm, dpi);
  const block = {
    x: Math.floor((widthPx - blockSize.width) / 2),
    y: Math.floor((heightPx - blockSize.height) / 2),
    ...blockSize,
  };
  const [left, top] = [block.x + margin, block.y + margin];
  const toMm = (pixels: number) => millimetresOf(pixels, dpi);
  return {
    widthPx,
    heightPx,
    filmMm:
      filmWidthMm == null && filmHeightMm == null
        ? null
        : { width: filmWidthMm ?? toMm(widthPx), height: filmHeightMm ?? toMm(heightPx) },
    block,
    part,
    keep,
    left,
    top,
    marks: marks === null ? [] : cuttingMarks({ part, keep, left, top, margin, below, dpi, ...marks }),
    caption: strip === 0 ? null : { x: left, y: top + part.height + below + margin, width: part.width, height: strip },
    strip: below === 0 ? null : stripUnder({ left, bottom: top + part.height, width: part.width }, dpi),
    row,
    column,
  };
}

/** @throws TroubleError when the picture is too narrow for it */
function stripUnder(under: Parameters<typeof marginStrip>[0], dpi: number): MarginStrip {
  const strip = marginStrip(under, dpi);
  if (strip === null)
    throw new TroubleError<NegativeTrouble>(
      "bad-request",
      { code: "negative-too-narrow-for-strip" },
      { field: "marginStrip" },
    );
  return strip;
}

/**
 * The sheets that shall be made: all of them, or the one tile that was asked for.
 * @throws TroubleError when there is no such tile, or when a picture file would have to hold several sheets
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
  if (format !== "pdf" && pages.length > 1) {
    throw new TroubleError<NegativeTrouble>(
      "bad-request",
      { code: "picture-file-holds-one-sheet", sheets: pages.length },
      { field: "format", extra: { sheets: pages.length } },
    );
  }
  return pages;
}
