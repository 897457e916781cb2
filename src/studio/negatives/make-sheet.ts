// Makes the printable wedge sheet, plain or through the correction of a test.
import type { SheetRequest } from "#shared/schema/sheet.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { paperSizesMm, sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { picturePdf } from "#src/output/picture-pdf.ts";
import type { SheetDrawing } from "#src/imaging/draw-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface SheetFile {
  readonly bytes: Uint8Array;
  /** A file name that tells what is on it. */
  readonly name: string;
}

/**
 * The sheet as the file to print on film as it is: already a negative, at true size.
 * @throws InputError for options that do not fit together
 */
export async function makeSheet(
  { imaging }: Pick<Tools, "imaging">,
  {
    request,
    format,
    correction,
    signal,
  }: {
    request: SheetRequest;
    format: "png" | "pdf";
    correction?: SheetDrawing["correction"];
    signal?: AbortSignal | undefined;
  },
): Promise<SheetFile> {
  const layout = inPlainWords(() => {
    const laidOut = sheetLayout(request);
    sheetPage(laidOut, request.paper);
    return laidOut;
  });
  const drawing: SheetDrawing = {
    options: layout.options,
    paper: request.paper,
    dpi: request.dpi,
    mirror: request.mirror,
    correction,
  };
  const drawn = await imaging.run("draw-sheet", drawing, { signal });
  const { levels, replicates, widthMm } = layout.options;
  const name =
    `wedge-sheet-${levels}x${replicates}-${widthMm}mm-${request.paper}` +
    (correction === undefined ? "" : `-${correction.mark.replace("/", "-")}`) +
    `.${format}`;
  if (format === "png") return { bytes: drawn.png, name };
  const { widthMm: pageWidthMm, heightMm: pageHeightMm } = paperSizesMm[request.paper];
  // Whole pixels: the picture may differ from the page by half a pixel, never by a scale.
  const place = {
    xMm: 0,
    yMm: 0,
    widthMm: (drawn.widthPx / request.dpi) * 25.4,
    heightMm: (drawn.heightPx / request.dpi) * 25.4,
  };
  return {
    bytes: await picturePdf({ png: drawn.png, pageWidthMm, pageHeightMm, place, title: "Wedgewright wedge sheet" }),
    name,
  };
}
