// Several pictures through one curve and one set of settings: a negative each, or together on as few films as they fit.
import { contactSheets } from "#shared/correction/layout/contact-sheet.ts";
import { millimetresOf } from "#shared/correction/picture-size.ts";
import type { NegativeRequest, SeriesRequest } from "#shared/schema/negative.ts";
import { captionText } from "#shared/words/file-words.ts";
import { negativeWarningWords } from "#shared/words/negatives/correction-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import type { Warning } from "#shared/schema/reading.ts";
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import { zipOf } from "#src/output/archive.ts";
import { contactPdf } from "#src/output/contact-pdf.ts";
import { negativePdf } from "#src/output/negative-pdf.ts";
import type { MadeNegative as DrawnNegative } from "#src/imaging/negative/draw-negative.ts";
import {
  curveOfNegative,
  drawingOf,
  fileOf,
  keepMadeNegative,
  type NegativeCurve,
  type NegativeFile,
  type NegativeWish,
} from "./make-negative.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface SeriesWish extends Pick<NegativeWish, "workFolder" | "signal" | "onProgress"> {
  readonly request: SeriesRequest;
  /** Picture files on the disk, in their order. */
  readonly pictures: readonly { readonly file: string; readonly name: string }[];
}

/** Most bytes of all finished negatives of a series together: they wait in memory for the last. */
const mostBytes = 400 * 1024 * 1024;

/** A drawn picture of the series. */
interface DrawnPicture {
  readonly name: string;
  readonly drawn: DrawnNegative;
  readonly warnings: readonly Warning[];
}

/** @throws InputError as `makeNegative`, naming the picture at fault by its number; "picture-too-large" for too much */
export async function makeSeries(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { request: asked, pictures, workFolder, signal, onProgress }: SeriesWish,
): Promise<NegativeFile> {
  const { arrangement, gapMm, ...settings } = asked;
  const isTogether = arrangement === "together";
  // Together they lie on the film by themselves: each is drawn no larger than itself.
  const request: NegativeRequest = isTogether
    ? { ...settings, format: "pdf", filmWidthMm: null, filmHeightMm: null, tile: null }
    : { ...settings, tile: null };
  const curve = curveOfNegative({ store }, request);
  const made: DrawnPicture[] = [];
  let bytes = 0;
  for (const [index, { file, name }] of pictures.entries()) {
    const drawn = await imaging.run(
      "draw-negative",
      { file, workFolder, request, ...drawingOf(curve, request), caption: captionOf(curve, request, { index, name }) },
      { signal, onProgress: (share) => onProgress?.((index + share) / pictures.length) },
    );
    bytes += drawn.sheets.reduce((sum, { picture }) => sum + bytesOf(picture), 0);
    if (bytes > mostBytes) throw refusal("picture-too-large", { code: "series-too-large", pictures: index + 1 });
    made.push({ name, drawn, warnings: inWords(drawn.warnings, negativeWarningWords) });
  }
  const file = isTogether
    ? await onFilms(made, { request, film: filmOf(settings, gapMm) })
    : await oneEach(made, { request, curve });
  // Only a series that came out is on the list.
  const [first] = forWriting(store).transaction(() =>
    made.map(({ drawn, name }) =>
      keepMadeNegative({ store }, { request, drawn, pictureName: name, levels: curve.correction.levels }),
    ),
  );
  const several = made.length > 1 ? `${made.length}-pictures` : "";
  return {
    ...file,
    madeId: first?.id ?? "",
    nameWords: [isTogether ? "contact" : "negatives", curve.calibration.testName || request.testId, several],
    warnings: [...curve.correction.warnings, ...differentWarnings(made)],
  };
}

/** Number and name of a picture of several, then what every caption says; empty where none is wanted. */
function captionOf(
  { calibration }: NegativeCurve,
  request: NegativeRequest,
  { index, name }: { readonly index: number; readonly name: string },
): string {
  if (!request.caption) return "";
  return [String(index + 1), name, captionText(calibration, request)].filter((part) => part !== "").join(", ");
}

function bytesOf(picture: PackedPicture | { readonly tiff: Uint8Array }): number {
  return "tiff" in picture
    ? picture.tiff.byteLength
    : picture.parts.reduce((sum, { data }) => sum + data.byteLength, 0);
}

function differentWarnings(made: readonly DrawnPicture[]): Warning[] {
  return made.flatMap(({ warnings }, index) =>
    warnings.map(({ code, message }) => ({ code, message: `Picture ${index + 1}: ${message}` })),
  );
}

/** One PDF of all pages, or an archive of all files. */
async function oneEach(
  made: readonly DrawnPicture[],
  { request, curve }: { readonly request: NegativeRequest; readonly curve: NegativeCurve },
): Promise<Pick<NegativeFile, "bytes" | "type">> {
  const title = `Negatives, ${captionText(curve.calibration, request)}`;
  if (request.format === "pdf") {
    const pages = made.flatMap(({ drawn }) =>
      drawn.sheets.flatMap(({ picture, filmMm }) => ("tiff" in picture ? [] : [{ picture, filmMm }])),
    );
    const bytes = await negativePdf({ pages, dpi: request.dpi, title, madeAt: new Date() });
    return { bytes, type: "application/pdf" };
  }
  const files = [];
  for (const [index, { drawn, name }] of made.entries()) {
    const { bytes, type } = await fileOf(drawn, request, title);
    const ending = type === "image/tiff" ? "tif" : "png";
    files.push({ name: `${String(index + 1).padStart(2, "0")}-${plainName(name)}.${ending}`, bytes });
  }
  return { bytes: zipOf(files), type: "application/zip" };
}

/** A file's name without its ending and without what some machines refuse. */
function plainName(name: string): string {
  return (
    name
      .replace(/\.[^.]*$/, "")
      .replaceAll(/[^\p{L}\p{N}_-]+/gu, "-")
      .replaceAll(/^-+|-+$/g, "")
      .slice(0, 60) || "picture"
  );
}

interface Film {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly gapMm: number;
}

/** The film that was asked for; A4 otherwise. Source: ISO 216 */
function filmOf({ filmWidthMm, filmHeightMm }: NegativeRequest, gapMm: number): Film {
  return { widthMm: filmWidthMm ?? 210, heightMm: filmHeightMm ?? 297, gapMm };
}

async function onFilms(
  made: readonly DrawnPicture[],
  { request, film }: { readonly request: NegativeRequest; readonly film: Film },
): Promise<Pick<NegativeFile, "bytes" | "type">> {
  const { dpi, mirror, marginTone, invert, ink } = request;
  const pictures = made.flatMap(({ drawn }) =>
    drawn.sheets.flatMap(({ picture }) => ("tiff" in picture ? [] : [picture])),
  );
  const sizes = pictures.map(({ width, height }) => ({
    widthMm: millimetresOf(width, dpi),
    heightMm: millimetresOf(height, dpi),
  }));
  const sheets = inPlainWords(() => contactSheets(sizes, film));
  // Opaque film carries all of the ink; a positive is the other way round.
  const isInked = (marginTone === "opaque") === invert;
  const bytes = await contactPdf({
    films: sheets.map((sheet) =>
      sheet.flatMap(({ index, xMm, yMm }) => {
        const picture = pictures[index];
        const size = sizes[index];
        if (picture === undefined || size === undefined) return [];
        return [{ picture, xMm: mirror ? film.widthMm - xMm - size.widthMm : xMm, yMm }];
      }),
    ),
    filmMm: film,
    ground: isInked ? [ink.red, ink.green, ink.blue] : [255, 255, 255],
    dpi,
    title: "Negatives",
    madeAt: new Date(),
  });
  return { bytes, type: "application/pdf" };
}
