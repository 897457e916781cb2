// Makes the printable wedge sheet, plain or through the correction of a test.
import type { InkSheetRequest } from "#shared/schema/ink.ts";
import type { SheetRequest } from "#shared/schema/sheet.ts";
import { inkFromText, inkMask, inkSheetOptions } from "#shared/tablet/film-inks.ts";
import { millimetresOf } from "#shared/correction/picture-size.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { paperSizesMm, sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { correctionMark, keptCurveMark } from "#shared/tablet/wedge-sheet-code.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { picturePdf } from "#src/output/picture-pdf.ts";
import type { SheetDrawing } from "#src/imaging/draw-sheet.ts";
import { correctionOfTest } from "./correct.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * What a sheet is printed through: a kept curve, a test's present one, or nothing.
 * @throws InputError "bad-request" for an unknown kept curve, "not-found" or "no-correction" for a test without one
 */
export function correctionOfSheet(
  { store }: Pick<Tools, "store">,
  { testId, curveId, target }: Pick<SheetRequest, "testId" | "curveId" | "target">,
): SheetDrawing["correction"] | undefined {
  if (curveId !== undefined) {
    const kept = store.keptCurves.find(curveId);
    if (kept === undefined) throw refusal("bad-request", { code: "no-such-kept-curve" }, { field: "curveId" });
    return { levels: kept.levels, mark: keptCurveMark(kept.id) };
  }
  if (testId === undefined) return undefined;
  const { correction } = correctionOfTest({ store }, { testId, target });
  return { levels: correction.levels, mark: correctionMark(testId, target) };
}

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
    ...(request.ink === undefined ? {} : { ink: inkFromText(request.ink) }),
  };
  const { levels, replicates, widthMm } = layout.options;
  const name =
    `wedge-sheet-${levels}x${replicates}-${widthMm}mm-${request.paper}` +
    (request.ink === undefined ? "" : `-ink-${request.ink.replace("#", "")}`) +
    (correction === undefined ? "" : `-${correction.mark.replace("/", "-")}`);
  return drawnFile(imaging, { drawing, format, name, title: "Wedgewright wedge sheet", signal });
}

/**
 * A sheet that tells how much ink the film needs, and which ink blocks most.
 * @throws InputError for options that do not fit together
 */
export async function makeInkSheet(
  { imaging }: Pick<Tools, "imaging">,
  { request, format, signal }: { request: InkSheetRequest; format: "png" | "pdf"; signal?: AbortSignal | undefined },
): Promise<SheetFile> {
  const { inks, paper, dpi, mirror } = request;
  const options = inPlainWords(() => {
    const laidOut = sheetLayout(inkSheetOptions(request));
    sheetPage(laidOut, paper);
    return laidOut.options;
  });
  const drawing: SheetDrawing = { options, paper, dpi, mirror, inkMask: inkMask(inks) };
  const name = `ink-sheet-${inks.length > 3 ? `${inks.length}-inks` : inks.join("-")}-${options.widthMm}mm-${paper}`;
  return drawnFile(imaging, { drawing, format, name, title: "Wedgewright ink sheet", signal });
}

/** The page as a picture, or as a PDF at true size. */
async function drawnFile(
  imaging: Tools["imaging"],
  {
    drawing,
    format,
    name,
    title,
    signal,
  }: {
    drawing: SheetDrawing;
    format: "png" | "pdf";
    name: string;
    title: string;
    signal: AbortSignal | undefined;
  },
): Promise<SheetFile> {
  const drawn = await imaging.run("draw-sheet", drawing, { signal });
  if (format === "png") return { bytes: drawn.png, name: `${name}.png` };
  const { widthMm: pageWidthMm, heightMm: pageHeightMm } = paperSizesMm[drawing.paper];
  // Whole pixels: the picture may differ from the page by half a pixel, never by a scale.
  const place = {
    xMm: 0,
    yMm: 0,
    widthMm: millimetresOf(drawn.widthPx, drawing.dpi),
    heightMm: millimetresOf(drawn.heightPx, drawing.dpi),
  };
  return {
    bytes: await picturePdf({ png: drawn.png, pageWidthMm, pageHeightMm, place, title }),
    name: `${name}.pdf`,
  };
}
