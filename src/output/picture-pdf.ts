// One picture on one page at true size. The picture's own grey values reach the printer unchanged.
import { asBuffer, pdfDocument, pointsPerMm } from "./pdf-document.ts";

export interface PicturePage {
  readonly png: Uint8Array;
  readonly pageWidthMm: number;
  readonly pageHeightMm: number;
  /** Where the picture lies and how large it is; the whole page when absent [mm]. */
  readonly place?: { readonly xMm: number; readonly yMm: number; readonly widthMm: number; readonly heightMm: number };
  readonly title: string;
}

/** A PDF of one page that asks viewers not to scale it when printing. */
export function picturePdf({
  png,
  pageWidthMm,
  pageHeightMm,
  place = { xMm: 0, yMm: 0, widthMm: pageWidthMm, heightMm: pageHeightMm },
  title,
}: PicturePage): Promise<Uint8Array> {
  return pdfDocument({
    title,
    firstPage: { widthMm: pageWidthMm, heightMm: pageHeightMm, marginMm: 0 },
    isTrueSize: true,
    draw(pdf) {
      pdf.image(asBuffer(png), place.xMm * pointsPerMm, place.yMm * pointsPerMm, {
        width: place.widthMm * pointsPerMm,
        height: place.heightMm * pointsPerMm,
      });
    },
  });
}
