// The card that hangs on the lid of a box: its base times, when to test again, and what to take care of. One page.
import { drawCode, drawTable, drawText, pageDocument, pageFrame, plainLetters } from "./page-document.ts";
import { pdfFonts, pointsPerMm } from "./pdf-document.ts";

interface LidCardRow {
  readonly materials: string;
  readonly time: string;
  readonly range: string;
  readonly testedOn: string;
  readonly testAgain: string;
}

export interface LidCard {
  readonly name: string;
  readonly description: string;
  readonly printedOn: string;
  readonly rows: readonly LidCardRow[];
  /** Rows that did not fit on one page and were left out. */
  readonly leftOut: number;
  readonly evenness: string;
  readonly cautions: readonly string[];
  readonly address: string;
  readonly code: { readonly size: number; readonly dark: readonly boolean[] } | null;
}

/** Most rows on the one page. */
export const mostCardRows = 14;
const codeSideMm = 32;

/** The card as a PDF of one A4 page. */
export function lidCardPdf(card: LidCard): Promise<Uint8Array> {
  return pageDocument({
    title: `Lid card: ${card.name}`,
    draw(page) {
      const codeSide = codeSideMm * pointsPerMm;
      if (card.code !== null)
        drawCode(page, card.code, { left: pageFrame.right - codeSide, top: pageFrame.top - 8, side: codeSide });
      page
        .font(pdfFonts.bold)
        .fontSize(26)
        .fillColor("#111111")
        .text(plainLetters(card.name), pageFrame.left, pageFrame.top, {
          width: pageFrame.width - codeSide - 10,
          height: 62,
          ellipsis: true,
        });
      page
        .font(pdfFonts.plain)
        .fontSize(11)
        .text(plainLetters(card.description), { width: pageFrame.width - codeSide - 10, height: 30, ellipsis: true });
      page.y = Math.max(page.y, pageFrame.top + codeSide - 8) + 8;
      drawTable(
        page,
        [
          { head: "paper or cloth, coating, film", share: 0.36 },
          { head: "time", share: 0.12, align: "right", bold: true },
          { head: "between", share: 0.2, align: "right" },
          { head: "tested", share: 0.14, align: "right" },
          { head: "again by", share: 0.18, align: "right" },
        ],
        card.rows.map((row) => [row.materials, row.time, row.range, row.testedOn, row.testAgain]),
        { size: 11 },
      );
      page.y += 8;
      if (card.rows.length === 0) drawText(page, "No test of this box has given a time yet.");
      if (card.leftOut > 0)
        drawText(page, `${card.leftOut} older combinations are not on this card; the page of the box has them.`, {
          size: 9,
        });
      drawText(
        page,
        "Minutes and seconds to the shoulder of the curve through the named film; 95 of 100 prints need a time in " +
          "the range. Put the tablet where the work will lie.",
        { size: 9 },
      );
      if (card.evenness !== "") drawText(page, card.evenness, { size: 10, gapAfter: 8 });
      drawText(page, "Take care", { size: 12, bold: true });
      card.cautions.forEach((caution) => drawText(page, `- ${caution}`, { size: 10, gapAfter: 2 }));
      page.y += 6;
      drawText(page, `Printed on ${card.printedOn} by Wedgewright. ${card.address}`, { size: 9 });
    },
  });
}
