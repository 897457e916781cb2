// The packed pictures of a negative as PDF pages at true size.
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import { addPackedPage, pdfDocument } from "./pdf-document.ts";

/** One page for each picture, exactly as large as its pixels at `dpi`. */
export function negativePdf({
  pages,
  dpi,
  title,
  madeAt,
}: {
  pages: readonly PackedPicture[];
  dpi: number;
  title: string;
  madeAt: Date;
}): Promise<Uint8Array> {
  return pdfDocument({
    title,
    madeAt,
    isTrueSize: true,
    draw(pdf) {
      pages.forEach((page, index) => addPackedPage(pdf, page, { dpi, name: `Negative${index + 1}` }));
    },
  });
}
