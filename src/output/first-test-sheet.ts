// The first test on one page of paper: its time, the list to tick off at the box, and lines for a pen.
import { drawText, pageDocument, pageFrame, writableLetters } from "./page-document.ts";
import { pdfFonts, pointsPerMm } from "./pdf-document.ts";

export interface FirstTestSheet {
  readonly light: string;
  readonly tablet: string;
  readonly time: string;
  readonly finds: string;
  readonly checklist: readonly string[];
  readonly lines: readonly string[];
  readonly note: string;
  readonly cautions: readonly string[];
}

const boxMm = 6;
const lineMm = 11;

/** The sheet as a PDF of one A4 page. */
export function firstTestSheetPdf(sheet: FirstTestSheet): Promise<Uint8Array> {
  return pageDocument({
    title: "First test",
    draw(page) {
      drawText(page, `First test: ${sheet.light}`, { size: 22, bold: true });
      drawText(page, sheet.tablet, { size: 12, gapAfter: 16 });
      page
        .font(pdfFonts.light)
        .fontSize(60)
        .text(writableLetters(sheet.time), pageFrame.left, page.y, { width: pageFrame.width });
      drawText(page, sheet.finds, { size: 11, gapAfter: 14 });
      const side = boxMm * pointsPerMm;
      sheet.checklist.forEach((item) => {
        const top = page.y;
        page.lineWidth(1.2).strokeColor("#111111").rect(pageFrame.left, top, side, side).stroke();
        page
          .font(pdfFonts.plain)
          .fontSize(13)
          .fillColor("#111111")
          .text(writableLetters(item), pageFrame.left + side + 10, top + 2, { width: pageFrame.width - side - 10 });
        page.y = Math.max(page.y, top + side) + 8;
      });
      page.y += 6;
      sheet.lines.forEach((label) => {
        page.y += lineMm * pointsPerMm;
        page
          .font(pdfFonts.plain)
          .fontSize(10)
          .fillColor("#444444")
          .text(writableLetters(label), pageFrame.left, page.y - 12, { width: 110, lineBreak: false });
        page
          .moveTo(pageFrame.left + 115, page.y)
          .lineTo(pageFrame.right, page.y)
          .lineWidth(0.6)
          .strokeColor("#444444")
          .stroke();
      });
      page.y += 16;
      sheet.cautions.forEach((caution) => drawText(page, `- ${caution}`, { size: 9, gapAfter: 2 }));
      drawText(page, sheet.note, { size: 9 });
    },
  });
}
