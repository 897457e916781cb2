// A4 pages with words, tables and drawings: the bones of the lid card and of the test report.
import type { CardPaper } from "#shared/schema/sheet.ts";
import { a4Mm, paperShares, pdfDocument, pdfFonts, pointsPerMm, type Pdf } from "./pdf-document.ts";

const marginMm = 16;

export type Page = Pdf;

export const pageFrame = {
  left: marginMm * pointsPerMm,
  right: (a4Mm.width - marginMm) * pointsPerMm,
  top: marginMm * pointsPerMm,
  bottom: (a4Mm.height - marginMm) * pointsPerMm,
  width: (a4Mm.width - 2 * marginMm) * pointsPerMm,
};

/** Draws one document, laid out as A4 and made smaller for other paper, and gives its bytes. */
export function pageDocument({
  title,
  paper = "a4",
  draw,
}: {
  title: string;
  paper?: CardPaper;
  draw: (page: Page) => void;
}): Promise<Uint8Array> {
  return pdfDocument({
    title,
    firstPage: { widthMm: a4Mm.width, heightMm: a4Mm.height, marginMm, scale: paperShares[paper] },
    draw,
  });
}

/** The type has Latin, Greek and Cyrillic letters and the signs of the trade: anything else becomes a question mark. */
export function writableLetters(text: string): string {
  return text
    .normalize("NFC")
    .replaceAll(/[^\t\n\r -\u024f\u0370-\u03ff\u0400-\u04ff\u1e00-\u1eff\u2000-\u22ff]/gu, "?");
}

export interface TableColumn {
  readonly head: string;
  /** Share of the width of the page, 0-1. */
  readonly share: number;
  readonly align?: "left" | "right";
  readonly bold?: boolean;
}

/** A plain ruled table from the current place downwards; begins a new page where it must. */
export function drawTable(
  page: Page,
  columns: readonly TableColumn[],
  rows: readonly (readonly string[])[],
  { size = 10, padding = 3 }: { size?: number; padding?: number } = {},
): void {
  const drawRow = (cells: readonly string[], isHead: boolean): void => {
    const widths = columns.map((column) => column.share * pageFrame.width);
    const font = (index: number): string => (isHead || columns[index]?.bold === true ? pdfFonts.bold : pdfFonts.plain);
    const heights = cells.map((cell, index) =>
      page
        .font(font(index))
        .fontSize(size)
        .heightOfString(writableLetters(cell), { width: (widths[index] ?? 0) - 2 * padding }),
    );
    const height = Math.max(...heights) + 2 * padding;
    if (page.y + height > pageFrame.bottom) page.addPage();
    const top = page.y;
    let left = pageFrame.left;
    cells.forEach((cell, index) => {
      page
        .font(font(index))
        .fontSize(size)
        .fillColor("#111111")
        .text(writableLetters(cell), left + padding, top + padding, {
          width: (widths[index] ?? 0) - 2 * padding,
          align: columns[index]?.align ?? "left",
        });
      left += widths[index] ?? 0;
    });
    page.y = top + height;
    page
      .moveTo(pageFrame.left, page.y)
      .lineTo(pageFrame.right, page.y)
      .lineWidth(isHead ? 1.2 : 0.4)
      .strokeColor("#444444")
      .stroke();
  };
  drawRow(
    columns.map((column) => column.head),
    true,
  );
  rows.forEach((row) => drawRow(row, false));
  page.x = pageFrame.left;
}

/** A paragraph in the plain type. */
export function drawText(
  page: Page,
  text: string,
  { size = 10, bold = false, gapAfter = 4 }: { size?: number; bold?: boolean; gapAfter?: number } = {},
): void {
  page
    .font(bold ? pdfFonts.bold : pdfFonts.plain)
    .fontSize(size)
    .fillColor("#111111")
    .text(writableLetters(text), pageFrame.left, page.y, { width: pageFrame.width });
  page.y += gapAfter;
}

/** A machine-readable code (ISO/IEC 18004) from its modules, row by row, with its quiet zone of four modules. */
export function drawCode(
  page: Page,
  { size, dark }: { size: number; dark: readonly boolean[] },
  place: { left: number; top: number; side: number },
): void {
  const quiet = 4;
  const module = place.side / (size + 2 * quiet);
  page.rect(place.left, place.top, place.side, place.side).fill("#ffffff");
  dark.forEach((isDark, index) => {
    if (isDark)
      page.rect(
        place.left + (quiet + (index % size)) * module,
        place.top + (quiet + Math.floor(index / size)) * module,
        module,
        module,
      );
  });
  page.fill("#000000");
}
