// Draws the wedge sheet as the picture that goes to the film printer: already turned into a negative.
import sharp from "sharp";
import { sheetCodeText } from "#shared/tablet/wedge-sheet-code.ts";
import { markRadiiMm, sheetLayout, type SheetLayout, type SheetOptions } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage, type RectangleMm, type SheetPaper } from "#shared/tablet/wedge-sheet-page.ts";
import type { FilmInk } from "#shared/schema/negative.ts";
import { inkAmounts, inkNamed, inksOfMask, sentInk } from "#shared/tablet/film-inks.ts";
import { mmPerInch } from "#shared/units/inch.ts";
import { letterMask } from "./letters.ts";
import { codeModules } from "./matrix-code.ts";

export interface SheetDrawing {
  readonly options: SheetOptions;
  readonly paper: SheetPaper;
  readonly dpi: number;
  /**
   * True (usual): the picture is mirrored, so that text reads right on the print when the printed side lies on the
   * coating.
   */
  readonly mirror: boolean;
  /**
   * The positive level to send for each wanted level (256 numbers), and the mark of the test it comes from. Absent: a
   * first sheet.
   */
  readonly correction?: { readonly levels: readonly number[]; readonly mark: string } | undefined;
  /** What the printer is sent for its densest film; black when absent. */
  readonly ink?: FilmInk | undefined;
  /** Makes it an ink sheet: its inks (`inkMask`), whose amounts the layout's levels are. */
  readonly inkMask?: number | undefined;
}

export interface DrawnSheet {
  readonly png: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Clear film: what the printer leaves unprinted. Prints the darkest blue. */
const clearPixel = 255;
/** Densest film. Prints paper white. */
const densePixel = 0;
const lineMm = 3.6;
const frameMm = 1;

/** Thresholds of a 4 x 4 ordered dither: a level between two whole ones is printed as a fine mixture of both. */
const ditherThresholds = [0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5].map((rank) => (rank + 0.5) / 16);

/** PNG of the whole page at true size, grey where its inks are, 255 = clear film. */
export async function drawSheet(drawing: SheetDrawing): Promise<DrawnSheet> {
  const layout = sheetLayout(drawing.options);
  const page = sheetPage(layout, drawing.paper);
  const pxPerMm = drawing.dpi / mmPerInch;
  const widthPx = Math.round(page.widthMm * pxPerMm);
  const heightPx = Math.round(page.heightMm * pxPerMm);
  const { channels, colourOf, patchColour } = sheetColours(drawing);
  const pixels = new Uint8Array(widthPx * heightPx * channels).fill(clearPixel);
  const px = (mm: number): number => Math.round(mm * pxPerMm);
  const put = (x: number, y: number, colour: readonly number[]): void => {
    for (let k = 0; k < channels; k++) pixels[(y * widthPx + x) * channels + k] = dithered(colour[k] as number, x, y);
  };
  const fill = (xMm: number, yMm: number, wMm: number, hMm: number, value: number): void => {
    const colour = colourOf(value);
    for (let y = Math.max(0, px(yMm)); y < Math.min(heightPx, px(yMm + hMm)); y++)
      for (let x = px(xMm); x < px(xMm + wMm); x++) put(x, y, colour);
  };
  const { block } = page;
  const clear = colourOf(clearPixel);
  fill(block.xMm, block.yMm, block.widthMm, block.heightMm, densePixel);

  for (const patch of layout.patches) {
    const colour = patchColour(patch);
    const left = px(block.xMm + patch.xMm);
    const right = px(block.xMm + patch.xMm + patch.sizeMm);
    for (let y = px(block.yMm + patch.yMm); y < px(block.yMm + patch.yMm + patch.sizeMm); y++)
      for (let x = left; x < right; x++) put(x, y, colour);
  }
  for (const mark of layout.marks) drawMark(mark.hollow, block.xMm + mark.xMm, block.yMm + mark.yMm);

  const code = await codeModules(
    sheetCodeText({
      version: layout.version,
      options: layout.options,
      correctionMark: drawing.correction?.mark ?? null,
      inkMask: drawing.inkMask ?? null,
    }),
  );
  const moduleMm = layout.code.sizeMm / code.size;
  code.dark.forEach((dark, i) => {
    if (dark)
      fill(
        block.xMm + layout.code.xMm + (i % code.size) * moduleMm,
        block.yMm + layout.code.yMm + Math.floor(i / code.size) * moduleMm,
        moduleMm,
        moduleMm,
        clearPixel,
      );
  });

  await writeLines(captionLines(layout, drawing), captionRoom(layout, block), clearPixel);
  if (page.tabletWindow !== null) {
    const room = page.tabletWindow;
    fill(room.xMm, room.yMm, room.widthMm, room.heightMm, densePixel);
    fill(
      room.xMm + frameMm,
      room.yMm + frameMm + lineMm,
      room.widthMm - 2 * frameMm,
      room.heightMm - 2 * frameMm - lineMm,
      clearPixel,
    );
    await writeLines(
      ["Clear film: room for a step tablet, laid over or under it"],
      { xMm: room.xMm + 4, yMm: room.yMm + frameMm / 2, widthMm: room.widthMm - 8, heightMm: lineMm },
      clearPixel,
    );
  }
  if (drawing.mirror) mirrorRows(pixels, { widthPx, channels });
  const png = await sharp(pixels, { raw: { width: widthPx, height: heightPx, channels } })
    .toColourspace(channels === 1 ? "b-w" : "srgb")
    .withDensity(drawing.dpi)
    .png({ compressionLevel: 6 })
    .toBuffer();
  return { png, widthPx, heightPx };

  function drawMark(hollow: boolean, xMm: number, yMm: number): void {
    for (let y = px(yMm - markRadiiMm.outer); y <= px(yMm + markRadiiMm.outer); y++) {
      for (let x = px(xMm - markRadiiMm.outer); x <= px(xMm + markRadiiMm.outer); x++) {
        const r = Math.hypot((x + 0.5) / pxPerMm - xMm, (y + 0.5) / pxPerMm - yMm);
        const dark =
          r <= markRadiiMm.disc ? !(hollow && r < markRadiiMm.hole) : r >= markRadiiMm.inner && r <= markRadiiMm.outer;
        if (dark) put(x, y, clear);
      }
    }
  }

  async function writeLines(lines: readonly string[], room: RectangleMm, value: number): Promise<void> {
    for (const [row, text] of lines.entries()) {
      const mask = await letterMask({ text, heightPx: lineMm * pxPerMm, mostWidthPx: room.widthMm * pxPerMm });
      const top = px(room.yMm + row * (lineMm + 1));
      for (let y = 0; y < mask.height; y++) {
        for (let x = 0; x < mask.width; x++) {
          if ((mask.ink[y * mask.width + x] as number) >= 128) put(px(room.xMm) + x, top + y, colourOf(value));
        }
      }
    }
  }
}

/** A level between two whole ones as a fine mixture of both. */
function dithered(value: number, x: number, y: number): number {
  return Math.floor(value) + (value % 1 > (ditherThresholds[(y & 3) * 4 + (x & 3)] as number) ? 1 : 0);
}

interface SheetColours {
  readonly channels: 1 | 3;
  /** What is sent for a film value from 0 (densest) to 255 (clear). */
  readonly colourOf: (value: number) => readonly number[];
  readonly patchColour: (patch: SheetLayout["patches"][number]) => readonly number[];
}

/** Colours of a sheet: through a correction in one ink, or of an ink sheet each patch in its own. */
function sheetColours({ options, correction, ink = inkNamed("black"), inkMask }: SheetDrawing): SheetColours {
  const isGrey = inkMask === undefined && ink.red === ink.green && ink.green === ink.blue;
  const full = isGrey ? [ink.red] : [ink.red, ink.green, ink.blue];
  const colourOf = (value: number): number[] => full.map((dense) => dense + (value * (255 - dense)) / 255);
  const amounts = inkMask === undefined ? null : inkAmounts(inkMask, options);
  return {
    channels: isGrey ? 1 : 3,
    colourOf,
    patchColour({ level, levelIndex }) {
      const own = amounts?.[levelIndex];
      if (own === undefined) return colourOf(255 - (correction?.levels[level] ?? level));
      const { red, green, blue } = sentInk(inkNamed(own.ink), own.amount);
      return [red, green, blue];
    },
  };
}

function mirrorRows(
  pixels: Uint8Array,
  { widthPx, channels }: { readonly widthPx: number; readonly channels: number },
): void {
  const rowBytes = widthPx * channels;
  for (let start = 0; start < pixels.length; start += rowBytes) {
    const row = pixels.subarray(start, start + rowBytes).reverse();
    // Turning the bytes round turned each pixel's channels round as well.
    if (channels === 3)
      for (let at = 0; at < rowBytes; at += 3) {
        const first = row[at] as number;
        row[at] = row[at + 2] as number;
        row[at + 2] = first;
      }
  }
}

/** Between code and right-hand mark. */
function captionRoom(layout: SheetLayout, block: RectangleMm): RectangleMm {
  const left = layout.code.xMm + layout.code.sizeMm + 3;
  const right = layout.marks[1].xMm - markRadiiMm.outer - 2;
  return {
    xMm: block.xMm + left,
    yMm: block.yMm + layout.code.yMm + 2,
    widthMm: right - left,
    heightMm: layout.code.sizeMm - 2,
  };
}

function captionLines(layout: SheetLayout, drawing: SheetDrawing): string[] {
  const { inkMask, correction, ink } = drawing;
  const through = correction === undefined ? "First sheet: no correction" : `Through correction ${correction.mark}`;
  return [
    inkMask === undefined ? "Wedgewright wedge sheet" : "Wedgewright ink sheet",
    `Layout ${layout.version}: ${layout.options.levels} levels, ${layout.options.replicates} times each, ` +
      `${layout.options.widthMm} mm`,
    inkMask === undefined ? through : `Inks: ${inksOfMask(inkMask).join(", ")}`,
    ...(ink === undefined ? [] : [`Ink sent: ${ink.red} ${ink.green} ${ink.blue}`]),
    "This text reads right on the print.",
    drawing.mirror ? "Printed side down, on the coating" : "Printed side up, away from the coating",
  ];
}
