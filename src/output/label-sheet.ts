// Labels for bottles, trays and prints on A4 paper, to be cut along thin lines or printed on sheets of stickers.
import { writableLetters, type Page } from "./page-document.ts";
import { a4Mm, pdfDocument, pdfFonts, pointsPerMm } from "./pdf-document.ts";

export interface Label {
  readonly title: string;
  readonly lines: readonly string[];
  /** Words of hazard, which stand out. */
  readonly hazard: string;
}

export interface LabelSheet {
  readonly labels: readonly Label[];
  readonly columns: number;
  readonly rows: number;
  /** Places of the first sheet that stay empty. */
  readonly skip: number;
}

const paddingMm = 4;
const [largestTitle, smallestTitle] = [20, 8];

/** The sheets as a PDF of A4 pages, each label a part of the page of one size. */
export function labelsPdf({ labels, columns, rows, skip }: LabelSheet): Promise<Uint8Array> {
  const [width, height] = [(a4Mm.width * pointsPerMm) / columns, (a4Mm.height * pointsPerMm) / rows];
  const places = columns * rows;
  return pdfDocument({
    title: "Labels",
    isTrueSize: true,
    draw(page) {
      labels.forEach((label, index) => {
        const place = (index + skip) % places;
        if (index === 0 || place === 0)
          page.addPage({ size: [a4Mm.width * pointsPerMm, a4Mm.height * pointsPerMm], margin: 0 });
        const [left, top] = [(place % columns) * width, Math.floor(place / columns) * height];
        page.rect(left, top, width, height).lineWidth(0.3).strokeColor("#999999").stroke();
        drawLabel(page, label, { left, top, width, height });
      });
    },
  });
}

function drawLabel(
  page: Page,
  { title, lines, hazard }: Label,
  place: { left: number; top: number; width: number; height: number },
): void {
  const padding = paddingMm * pointsPerMm;
  const [left, width] = [place.left + padding, place.width - 2 * padding];
  const bottom = place.top + place.height - padding;
  const titleSize = Math.min(largestTitle, Math.max(smallestTitle, place.height * 0.17));
  const size = Math.max(7, titleSize * 0.55);
  page.y = place.top + padding * 0.8;
  const write = (text: string, font: string, of: number): void => {
    const room = bottom - page.y;
    if (text === "" || room < of * 1.3) return;
    page.font(font).fontSize(of).fillColor("#111111");
    page.text(writableLetters(text), left, page.y, { width, height: Math.min(room, of * 2.8), ellipsis: true });
  };
  write(title, pdfFonts.bold, titleSize);
  write(hazard, pdfFonts.bold, size * 1.15);
  for (const line of lines) write(line, pdfFonts.plain, size);
}
