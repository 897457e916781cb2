// The packed pictures of a negative as PDF pages at true size.
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import { addPackedPage, pdfDocument } from "./pdf-document.ts";
import { addPlanPage, type SheetPlan } from "./plan-page.ts";

export interface NegativePdfPage {
  readonly picture: PackedPicture;
  /** The film's own size, which the page takes; the picture's when null [mm]. */
  readonly filmMm: { readonly width: number; readonly height: number } | null;
}

/** One page for each picture, and for several sheets a last one that shows how they are cut and joined. */
export function negativePdf({
  pages,
  dpi,
  title,
  madeAt,
  plan = null,
}: {
  pages: readonly NegativePdfPage[];
  dpi: number;
  title: string;
  madeAt: Date;
  plan?: SheetPlan | null;
}): Promise<Uint8Array> {
  return pdfDocument({
    title,
    madeAt,
    isTrueSize: true,
    draw(pdf) {
      pages.forEach(({ picture, filmMm }, index) =>
        addPackedPage(pdf, picture, { dpi, filmMm, name: `Negative${index + 1}` }),
      );
      if (plan !== null) addPlanPage(pdf, plan);
    },
  });
}
