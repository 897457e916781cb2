// Draws the wedge sheet as the picture that goes to the film printer: already turned into a negative.
import sharp from "sharp";
import { sheetCodeText } from "#shared/tablet/wedge-sheet-code.ts";
import { markRadiiMm, sheetLayout, type SheetLayout, type SheetOptions } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage, type RectangleMm, type SheetPaper } from "#shared/tablet/wedge-sheet-page.ts";
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

/** Grey PNG of the whole page at true size, pixel 255 = clear film. */
export async function drawSheet(drawing: SheetDrawing): Promise<DrawnSheet> {
  const layout = sheetLayout(drawing.options);
  const page = sheetPage(layout, drawing.paper);
  const pxPerMm = drawing.dpi / 25.4;
  const widthPx = Math.round(page.widthMm * pxPerMm);
  const heightPx = Math.round(page.heightMm * pxPerMm);
  const pixels = new Uint8Array(widthPx * heightPx).fill(clearPixel);
  const px = (mm: number): number => Math.round(mm * pxPerMm);
  const fill = (xMm: number, yMm: number, wMm: number, hMm: number, value: number): void => {
    for (let y = Math.max(0, px(yMm)); y < Math.min(heightPx, px(yMm + hMm)); y++)
      pixels.fill(value, y * widthPx + px(xMm), y * widthPx + px(xMm + wMm));
  };
  const { block } = page;
  fill(block.xMm, block.yMm, block.widthMm, block.heightMm, densePixel);

  const sendLevels = drawing.correction?.levels;
  for (const patch of layout.patches) {
    const value = 255 - (sendLevels?.[patch.level] ?? patch.level);
    const left = px(block.xMm + patch.xMm);
    const right = px(block.xMm + patch.xMm + patch.sizeMm);
    for (let y = px(block.yMm + patch.yMm); y < px(block.yMm + patch.yMm + patch.sizeMm); y++) {
      for (let x = left; x < right; x++)
        pixels[y * widthPx + x] =
          Math.floor(value) + (value % 1 > (ditherThresholds[(y & 3) * 4 + (x & 3)] as number) ? 1 : 0);
    }
  }
  for (const mark of layout.marks) drawMark(mark.hollow, block.xMm + mark.xMm, block.yMm + mark.yMm);

  const code = await codeModules(
    sheetCodeText({
      version: layout.version,
      options: layout.options,
      correctionMark: drawing.correction?.mark ?? null,
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
  if (drawing.mirror) for (let y = 0; y < heightPx; y++) pixels.subarray(y * widthPx, (y + 1) * widthPx).reverse();
  const png = await sharp(pixels, { raw: { width: widthPx, height: heightPx, channels: 1 } })
    .toColourspace("b-w")
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
        if (dark) pixels[y * widthPx + x] = clearPixel;
      }
    }
  }

  async function writeLines(lines: readonly string[], room: RectangleMm, value: number): Promise<void> {
    for (const [row, text] of lines.entries()) {
      const mask = await letterMask({ text, heightPx: lineMm * pxPerMm, mostWidthPx: room.widthMm * pxPerMm });
      const top = px(room.yMm + row * (lineMm + 1));
      for (let y = 0; y < mask.height; y++) {
        for (let x = 0; x < mask.width; x++) {
          if ((mask.ink[y * mask.width + x] as number) >= 128) pixels[(top + y) * widthPx + px(room.xMm) + x] = value;
        }
      }
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
  return [
    "Wedgewright wedge sheet",
    `Layout ${layout.version}: ${layout.options.levels} levels, ${layout.options.replicates} times each, ` +
      `${layout.options.widthMm} mm`,
    drawing.correction === undefined ? "First sheet: no correction" : `Through correction ${drawing.correction.mark}`,
    "This text reads right on the print.",
    drawing.mirror ? "Printed side down, on the coating" : "Printed side up, away from the coating",
  ];
}
