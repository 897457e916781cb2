// The packed pictures of a negative as PDF pages at true size.
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import { addPackedPage, pdfDocument, pdfFile } from "./pdf-document.ts";
import { addPlanPage, type SheetPlan } from "./plan-page.ts";

export interface NegativePdfPage {
  readonly picture: PackedPicture;
  /** The film's own size, which the page takes; the picture's when null [mm]. */
  readonly filmMm: { readonly width: number; readonly height: number } | null;
}

interface NegativePdfParts {
  readonly dpi: number;
  readonly title: string;
  readonly madeAt: Date;
}

const pageName = (index: number): string => `Negative${index + 1}`;

/** One page for each picture, and for several sheets a last one that shows how they are cut and joined. */
export function negativePdf({
  pages,
  dpi,
  title,
  madeAt,
  plan = null,
}: NegativePdfParts & {
  readonly pages: readonly NegativePdfPage[];
  readonly plan?: SheetPlan | null;
}): Promise<Uint8Array> {
  return pdfDocument({
    title,
    madeAt,
    isTrueSize: true,
    draw(pdf) {
      pages.forEach(({ picture, filmMm }, index) =>
        addPackedPage(pdf, picture, { dpi, filmMm, name: pageName(index) }),
      );
      if (plan !== null) addPlanPage(pdf, plan);
    },
  });
}

/** One page for each picture, written into a file as the pictures come: no more than one of them is held. */
export async function negativePdfFile({
  path,
  pages,
  dpi,
  ...parts
}: NegativePdfParts & { readonly path: string; readonly pages: AsyncIterable<NegativePdfPage> }): Promise<void> {
  await pdfFile({
    ...parts,
    path,
    isTrueSize: true,
    async draw(pdf, written) {
      let index = 0;
      for await (const { picture, filmMm } of pages) {
        addPackedPage(pdf, picture, { dpi, filmMm, name: pageName(index) });
        index += 1;
        await written();
      }
    },
  });
}
