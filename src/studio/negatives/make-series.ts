// Several pictures through one curve and one set of settings: a negative each, or together on as few films as they fit.
import { join } from "node:path";
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
import { zipFile, type ArchivedFile } from "#src/output/archive.ts";
import { contactPdfFile, type FilmPlaces } from "#src/output/contact-pdf.ts";
import { negativePdfFile, type NegativePdfPage } from "#src/output/negative-pdf.ts";
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

/**
 * Most bytes of all finished negatives of a series together: they lie on the disk, and an archive of this form ends at
 * four times as much.
 */
const mostBytes = 1024 * 1024 * 1024;

/** What is kept of a drawn picture once it lies on the disk. */
interface DrawnPicture {
  readonly name: string;
  readonly drawn: Pick<DrawnNegative, "widthPx" | "heightPx" | "rows" | "columns">;
  readonly warnings: readonly Warning[];
}

/** A series that was made: like one negative, but lying in a file, since it may be large. */
export type SeriesFile = Omit<NegativeFile, "bytes"> & { readonly path: string };

/**
 * Draws one picture after the other straight into the file: no more than one of them is held.
 * @throws InputError as `makeNegative`, naming the picture at fault by its number; "picture-too-large" for too much
 */
export async function makeSeries(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { request: asked, pictures, workFolder, signal, onProgress }: SeriesWish,
): Promise<SeriesFile> {
  const { arrangement, gapMm, ...settings } = asked;
  const isTogether = arrangement === "together";
  // Together they lie on the film by themselves: each is drawn no larger than itself.
  const request: NegativeRequest = isTogether
    ? { ...settings, format: "pdf", filmWidthMm: null, filmHeightMm: null, tile: null }
    : { ...settings, tile: null };
  const curve = curveOfNegative({ store }, request);
  const made: DrawnPicture[] = [];
  async function* drawEach(): AsyncGenerator<{ readonly drawn: DrawnNegative; readonly name: string }> {
    let bytes = 0;
    for (const [index, { file, name }] of pictures.entries()) {
      const drawn = await imaging.run(
        "draw-negative",
        {
          file,
          workFolder,
          request,
          ...drawingOf(curve, request),
          caption: captionOf(curve, request, { index, name }),
        },
        { signal, onProgress: (share) => onProgress?.((index + share) / pictures.length) },
      );
      bytes += drawn.sheets.reduce((sum, { picture }) => sum + bytesOf(picture), 0);
      if (bytes > mostBytes) throw refusal("picture-too-large", { code: "series-too-large", pictures: index + 1 });
      const { widthPx, heightPx, rows, columns } = drawn;
      made.push({
        name,
        drawn: { widthPx, heightPx, rows, columns },
        warnings: inWords(drawn.warnings, negativeWarningWords),
      });
      yield { drawn, name };
    }
  }
  const path = join(workFolder, "series");
  const type = isTogether
    ? await onFilms(path, drawEach(), { request, film: filmOf(settings, gapMm) })
    : await oneEach(path, drawEach(), { request, curve });
  // Only a series that came out is on the list.
  const [first] = forWriting(store).transaction(() =>
    made.map(({ drawn, name }) =>
      keepMadeNegative({ store }, { request, drawn, pictureName: name, levels: curve.correction.levels }),
    ),
  );
  const several = made.length > 1 ? `${made.length}-pictures` : "";
  return {
    path,
    type,
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

/** Pictures as they are drawn. */
type Drawing = AsyncIterable<{ readonly drawn: DrawnNegative; readonly name: string }>;

/** One PDF of all pages, or an archive of all files. */
async function oneEach(
  path: string,
  drawing: Drawing,
  { request, curve }: { readonly request: NegativeRequest; readonly curve: NegativeCurve },
): Promise<NegativeFile["type"]> {
  const title = `Negatives, ${captionText(curve.calibration, request)}`;
  if (request.format === "pdf") {
    await negativePdfFile({ path, pages: packedPages(drawing), dpi: request.dpi, title, madeAt: new Date() });
    return "application/pdf";
  }
  await zipFile(path, filesOf(drawing, { request, title }));
  return "application/zip";
}

async function* packedPages(drawing: Drawing): AsyncGenerator<NegativePdfPage> {
  for await (const { drawn } of drawing)
    for (const { picture, filmMm } of drawn.sheets) if (!("tiff" in picture)) yield { picture, filmMm };
}

async function* filesOf(
  drawing: Drawing,
  { request, title }: { readonly request: NegativeRequest; readonly title: string },
): AsyncGenerator<ArchivedFile> {
  let number = 0;
  for await (const { drawn, name } of drawing) {
    const { bytes, type } = await fileOf(drawn, request, title);
    const ending = type === "image/tiff" ? "tif" : "png";
    number += 1;
    yield { name: `${String(number).padStart(2, "0")}-${plainName(name)}.${ending}`, bytes };
  }
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
  path: string,
  drawing: Drawing,
  { request, film }: { readonly request: NegativeRequest; readonly film: Film },
): Promise<NegativeFile["type"]> {
  const { dpi, mirror, marginTone, invert, ink } = request;
  // Opaque film carries all of the ink; a positive is the other way round.
  const isInked = (marginTone === "opaque") === invert;
  await contactPdfFile({
    path,
    pictures: packedPictures(drawing),
    place: (pictures) => placesOn(film, pictures, { dpi, mirror }),
    filmMm: film,
    ground: isInked ? [ink.red, ink.green, ink.blue] : [255, 255, 255],
    dpi,
    title: "Negatives",
    madeAt: new Date(),
  });
  return "application/pdf";
}

async function* packedPictures(drawing: Drawing): AsyncGenerator<PackedPicture> {
  for await (const { picture } of packedPages(drawing)) yield picture;
}

/** @throws InputError when a picture is larger than the film */
function placesOn(
  film: Film,
  pictures: readonly Pick<PackedPicture, "width" | "height">[],
  { dpi, mirror }: Pick<NegativeRequest, "dpi" | "mirror">,
): FilmPlaces {
  const sizes = pictures.map(({ width, height }) => ({
    widthMm: millimetresOf(width, dpi),
    heightMm: millimetresOf(height, dpi),
  }));
  return inPlainWords(() => contactSheets(sizes, film)).map((sheet) =>
    sheet.map(({ index, xMm, yMm }) => ({
      index,
      xMm: mirror ? film.widthMm - xMm - (sizes[index]?.widthMm ?? 0) : xMm,
      yMm,
    })),
  );
}
