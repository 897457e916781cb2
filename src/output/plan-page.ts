// The page of paper that shows how the sheets of a large negative lie, seen as the print is.
import { a4Mm, pdfFonts, pointsPerMm, type Pdf } from "./pdf-document.ts";

export interface SheetPlan {
  readonly rows: number;
  readonly columns: number;
  /** Size of the whole print [mm]. */
  readonly widthMm: number;
  readonly heightMm: number;
  /** Size of the page; A4 where the film has none of its own [mm]. */
  readonly pageMm: { readonly width: number; readonly height: number } | null;
  readonly heading: string;
  readonly lines: readonly string[];
}

/** Margin of the page, and size of its letters, as shares of the page's shorter side. */
const marginShare = 0.08;
const letterShare = 0.02;

/** Adds the plan as a page: heading, the sheets with their numbers, and what to do. */
export function addPlanPage(pdf: Pdf, plan: SheetPlan): void {
  const page = plan.pageMm ?? a4Mm;
  const [width, height] = [page.width * pointsPerMm, page.height * pointsPerMm];
  pdf.addPage({ size: [width, height], margin: 0 });
  const margin = marginShare * Math.min(width, height);
  const size = letterShare * Math.min(width, height);
  const room = width - 2 * margin;
  pdf
    .font(pdfFonts.bold)
    .fontSize(1.4 * size)
    .fillColor("black")
    .text(plan.heading, margin, margin, { width: room });
  pdf.font(pdfFonts.plain).fontSize(size);
  for (const line of plan.lines) pdf.text(line, margin, pdf.y + 0.6 * size, { width: room });
  const top = pdf.y + 2 * size;
  const scale = Math.min(room / plan.widthMm, (height - margin - top) / plan.heightMm);
  const [cellWidth, cellHeight] = [(plan.widthMm * scale) / plan.columns, (plan.heightMm * scale) / plan.rows];
  pdf.lineWidth(0.6);
  for (let row = 0; row < plan.rows; row++) {
    for (let column = 0; column < plan.columns; column++) {
      const [x, y] = [margin + column * cellWidth, top + row * cellHeight];
      pdf.rect(x, y, cellWidth, cellHeight).stroke();
      const letter = Math.min(cellWidth, cellHeight) / 3;
      pdf
        .font(pdfFonts.bold)
        .fontSize(letter)
        .text(String(row * plan.columns + column + 1), x, y + (cellHeight - letter) / 2, {
          width: cellWidth,
          align: "center",
          lineBreak: false,
        });
    }
  }
}
