// Every PDF that the program writes: its bytes gathered, its makers named, its sizes and type in one place.
import { createWriteStream } from "node:fs";
import { join } from "node:path";
import type { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { setTimeout as pause } from "node:timers/promises";
import PDFDocument from "pdfkit";
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import type { CardPaper } from "#shared/schema/sheet.ts";
import { mmPerInch } from "#shared/units/inch.ts";
import { rootDir } from "#src/settings.ts";

const pointsPerInch = 72;
export const pointsPerMm = pointsPerInch / mmPerInch;
/** ISO 216. */
export const a4Mm = { width: 210, height: 297 } as const;

/** Sizes of paper whose sides are as 1 to the root of 2, each as a share of A4's. Source: ISO 216 */
export const paperShares: Readonly<Record<CardPaper, number>> = { a4: 1, a5: Math.SQRT1_2, a6: 0.5 };

/**
 * The type of the pages, in three weights. Each is embedded as far as a document uses it; digits are all one width. The
 * files are unpacked ones: of a packed one the library unpacks a whole table again for each glyph.
 */
export const pdfFonts = { plain: "text", bold: "strong", light: "digits" } as const;
const fontFiles: Readonly<Record<(typeof pdfFonts)[keyof typeof pdfFonts], string>> = {
  text: "source-sans-3-paper-400.ttf",
  strong: "source-sans-3-paper-600.ttf",
  digits: "source-sans-3-paper-300.ttf",
};

export type Pdf = InstanceType<typeof PDFDocument>;

export interface PdfParts {
  readonly title: string;
  /** Of the first page, which is made at once; without it the drawing adds its own pages. */
  readonly firstPage?: {
    readonly widthMm: number;
    readonly heightMm: number;
    readonly marginMm: number;
    /** Everything is laid out for this size and then made smaller by it, page and all; 1 when absent. */
    readonly scale?: number;
  };
  /** Asks viewers to print without scaling. */
  readonly isTrueSize?: boolean;
  /** Now when absent. */
  readonly madeAt?: Date;
  readonly draw: (pdf: Pdf) => void;
}

/**
 * What the library keeps to itself and ends itself: the catalogue, a page's pictures, and drawing by the format's own
 * words.
 */
interface PdfInside {
  readonly _root: { readonly data: Record<string, unknown> };
  readonly page: {
    readonly xobjects: Record<string, unknown>;
    readonly dictionary: { readonly data: Record<string, unknown> };
  };
  addContent(text: string): void;
}

function insideOf(pdf: Pdf): PdfInside {
  return pdf as unknown as PdfInside;
}

/** A document without a page or with its first, to be drawn. Source: iso-32000-1 clause 12.2 (PrintScaling) */
function openPdf({ title, firstPage, isTrueSize = false, madeAt }: Omit<PdfParts, "draw">): Pdf {
  const pdf = new PDFDocument({
    // Pictures of 16 bits came with this version.
    pdfVersion: "1.5",
    autoFirstPage: false,
    ...(firstPage === undefined
      ? { margin: 0 }
      : {
          size: [firstPage.widthMm * pointsPerMm, firstPage.heightMm * pointsPerMm],
          margin: firstPage.marginMm * pointsPerMm,
        }),
    info: {
      Title: title,
      Producer: "Wedgewright",
      Creator: "Wedgewright",
      ...(madeAt === undefined ? {} : { CreationDate: madeAt }),
    },
  });
  if (isTrueSize) insideOf(pdf)._root.data["ViewerPreferences"] = pdf.ref({ PrintScaling: "None" });
  Object.entries(fontFiles).forEach(([name, file]) => pdf.registerFont(name, join(rootDir, "static", "fonts", file)));
  if (firstPage !== undefined) {
    const { scale = 1 } = firstPage;
    if (scale !== 1) pdf.on("pageAdded", () => makeSmaller(pdf, scale));
    pdf.addPage();
  }
  return pdf;
}

/** Draws one document and gives its bytes. */
export function pdfDocument({ draw, ...parts }: PdfParts): Promise<Uint8Array> {
  const pdf = openPdf(parts);
  const chunks: Uint8Array[] = [];
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    pdf.on("data", (chunk: Uint8Array) => chunks.push(chunk));
    pdf.on("end", () => resolve(Buffer.concat(chunks)));
    pdf.on("error", reject);
  });
  draw(pdf);
  pdf.end();
  return whole;
}

/** Time between two looks whether the disk has taken what was drawn [ms]. */
const lookEveryMs = 5;

/**
 * Draws one document straight into a file.
 * @param parts.draw waits for `written()` wherever what was drawn so far shall leave memory
 */
export async function pdfFile({
  path,
  draw,
  ...parts
}: Omit<PdfParts, "draw"> & {
  readonly path: string;
  readonly draw: (pdf: Pdf, written: () => Promise<void>) => Promise<void>;
}): Promise<void> {
  const pdf = openPdf(parts);
  // The library's documents are streams of Node; its types say less.
  const drawn = pdf as unknown as Readable;
  const file = createWriteStream(path);
  const whole = pipeline(drawn, file);
  // Told below, once the drawing has ended.
  whole.catch(() => undefined);
  const written = async (): Promise<void> => {
    while (!file.destroyed && drawn.readableLength + file.writableLength > 0) await pause(lookEveryMs);
  };
  try {
    await draw(pdf, written);
    pdf.end();
  } catch (error) {
    drawn.destroy();
    await whole.catch(() => undefined);
    throw error;
  }
  await whole;
}

/**
 * Makes the page smaller with all that will be drawn on it. The library's own place for y is from the top, hence the
 * shift. Source: iso-32000-1 clauses 8.3.4 (transformations), 14.11.2 (page boundaries)
 */
function makeSmaller(pdf: Pdf, scale: number): void {
  const { page } = insideOf(pdf);
  const { width, height } = pdf.page;
  page.dictionary.data["MediaBox"] = [0, 0, width * scale, height * scale];
  pdf.transform(scale, 0, 0, scale, 0, height * (1 - scale));
}

/** Bytes as the library takes them, without a copy. */
export function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/**
 * Adds a page with a packed picture as large as its pixels at `dpi`: nothing is decoded or scaled.
 * @param page.filmMm size of the page, the picture in its middle; exactly the picture's own when absent
 * Source: iso-32000-1 clauses 7.4.4.4 (predictor 15 for PNG rows), 8.9.5 (image dictionaries)
 */
export function addPackedPage(
  pdf: Pdf,
  picture: PackedPicture,
  { dpi, name, filmMm = null }: { dpi: number; name: string; filmMm?: { width: number; height: number } | null },
): void {
  const size = pointsOf(picture, dpi);
  const page: [number, number] = filmMm === null ? size : [filmMm.width * pointsPerMm, filmMm.height * pointsPerMm];
  // Whole pixels rarely fill a film exactly: what is left, less than one, lies on both sides.
  const [x, y] = [(page[0] - size[0]) / 2, (page[1] - size[1]) / 2];
  pdf.addPage({ size: page, margin: 0 });
  placeEmbedded(pdf, embedPacked(pdf, picture), { dpi, name, x, y });
}

/** A packed picture that the document holds, to be placed on its pages. */
export interface EmbeddedPicture extends Pick<PackedPicture, "width" | "height"> {
  readonly image: ReturnType<Pdf["ref"]>;
}

/** An embedded picture somewhere on the page that is open. */
interface PlacedPicture {
  readonly picture: EmbeddedPicture;
  /** Its left upper corner [mm]. */
  readonly xMm: number;
  readonly yMm: number;
}

/** Adds a page as large as a film, of one colour, with packed pictures on it at true size. */
export function addFilmOfPictures(
  pdf: Pdf,
  pictures: readonly PlacedPicture[],
  {
    dpi,
    name,
    filmMm,
    ground,
  }: {
    dpi: number;
    name: string;
    filmMm: { readonly widthMm: number; readonly heightMm: number };
    /** Red, green and blue of the film between the pictures, 0-255. */
    ground: readonly [number, number, number];
  },
): void {
  const [width, height] = [filmMm.widthMm * pointsPerMm, filmMm.heightMm * pointsPerMm];
  pdf.addPage({ size: [width, height], margin: 0 });
  pdf.rect(0, 0, width, height).fill([...ground]);
  pictures.forEach(({ picture, xMm, yMm }, index) =>
    placeEmbedded(pdf, picture, { dpi, name: `${name}x${index + 1}`, x: xMm * pointsPerMm, y: yMm * pointsPerMm }),
  );
}

function pointsOf({ width, height }: Pick<PackedPicture, "width" | "height">, dpi: number): [number, number] {
  return [(width / dpi) * pointsPerInch, (height / dpi) * pointsPerInch];
}

/** Puts a packed picture into the document, on no page yet. */
export function embedPacked(pdf: Pdf, { width, height, bits, channels, parts }: PackedPicture): EmbeddedPicture {
  const image = pdf.ref({
    Type: "XObject",
    Subtype: "Image",
    Width: width,
    Height: height,
    ColorSpace: channels === 3 ? "DeviceRGB" : "DeviceGray",
    BitsPerComponent: bits,
    Interpolate: false,
    Filter: "FlateDecode",
    DecodeParms: { Predictor: 15, Colors: channels, BitsPerComponent: bits, Columns: width },
  });
  const last = parts.at(-1);
  if (last === undefined) throw new TypeError("A packed picture without rows.");
  for (const { data } of parts.slice(0, -1)) image.write(asBuffer(data));
  image.end(asBuffer(last.data));
  return { image, width, height };
}

/** @param at.x left upper corner [points] */
function placeEmbedded(
  pdf: Pdf,
  picture: EmbeddedPicture,
  { dpi, name, x, y }: { dpi: number; name: string; x: number; y: number },
): void {
  const size = pointsOf(picture, dpi);
  const inside = insideOf(pdf);
  inside.page.xobjects[name] = picture.image;
  inside.addContent(`q ${size[0]} 0 0 ${-size[1]} ${x} ${size[1] + y} cm /${name} Do Q`);
}
