// The card that hangs on the lid of a box: one block for each paper with its time in figures that are read from across
// the room, when to test again, how the light falls on the bed, and what to take care of.
import type { CardPaper } from "#shared/schema/sheet.ts";
import { drawCode, drawText, pageDocument, pageFrame, writableLetters, type Page } from "./page-document.ts";
import { pdfFonts, pointsPerMm } from "./pdf-document.ts";

interface LidCardRow {
  /** Paper or cloth, in large type. */
  readonly support: string;
  /** Coating and film. */
  readonly materials: string;
  /** Minutes and seconds, or why there are none. */
  readonly time: string;
  readonly hasTime: boolean;
  readonly range: string;
  readonly testedOn: string;
  /** When to test again, a whole line. */
  readonly testAgain: string;
  readonly isUrgent: boolean;
}

/** How the light falls on the bed, in places row by row from the back left. */
export interface BedPlaces {
  readonly columns: number;
  /** Irradiance below the best place [stops, 0 or less], and what a time gets there. */
  readonly places: readonly { readonly stops: number; readonly words: string }[];
}

export interface LidCard {
  readonly paper: CardPaper;
  readonly name: string;
  readonly description: string;
  readonly printedOn: string;
  readonly rows: readonly LidCardRow[];
  readonly evenness: string;
  readonly bed: BedPlaces | null;
  readonly warmUp: string;
  readonly cautions: readonly string[];
  readonly address: string;
  readonly code: { readonly size: number; readonly dark: readonly boolean[] } | null;
}

/** Blocks on one page: more go on to the next, so that figures stay large. */
export const cardBlocksOnPage = 5;
const codeSideMm = 34;
const footHeightMm = 62;
/** Figures are at most as high as this, and as wide as this share of the page. */
const digitHeightMm = 40;
const digitsShare = 0.58;
/** Height of a figure as a share of the type's size, measured in this type. */
const digitHeightInType = 0.65;

/** The card as a PDF; laid out as A4 and made smaller for other paper. */
export function lidCardPdf(card: LidCard): Promise<Uint8Array> {
  return pageDocument({
    title: `Lid card: ${card.name}`,
    paper: card.paper,
    draw(page) {
      const pages = Math.max(1, Math.ceil(card.rows.length / cardBlocksOnPage));
      for (let index = 0; index < pages; index++) {
        if (index > 0) page.addPage();
        const rows = card.rows.slice(index * cardBlocksOnPage, (index + 1) * cardBlocksOnPage);
        drawHead(page, card, pages > 1 ? `Card ${index + 1} of ${pages}` : "");
        if (card.rows.length === 0) drawText(page, "No test of this box has given a time yet.", { size: 14 });
        const room = pageFrame.bottom - footHeightMm * pointsPerMm - page.y;
        rows.forEach((row) => drawBlock(page, row, room / rows.length));
        drawFoot(page, card);
      }
    },
  });
}

function drawHead(page: Page, card: LidCard, which: string): void {
  const codeSide = codeSideMm * pointsPerMm;
  if (card.code !== null)
    drawCode(page, card.code, { left: pageFrame.right - codeSide, top: pageFrame.top - 8, side: codeSide });
  const width = pageFrame.width - codeSide - 10;
  page.font(pdfFonts.bold).fontSize(34).fillColor("#111111");
  page.text(writableLetters(card.name), pageFrame.left, pageFrame.top - 6, { width, height: 46, ellipsis: true });
  page.font(pdfFonts.plain).fontSize(13);
  page.text(writableLetters([card.description, which].filter(Boolean).join(" ")), pageFrame.left, page.y, {
    width,
    height: 36,
    ellipsis: true,
  });
  page.y = pageFrame.top + codeSide - 4;
}

/** One paper: what it is, its time as large as fits, its range and its days. */
function drawBlock(page: Page, row: LidCardRow, height: number): void {
  const [top, left] = [page.y, pageFrame.left];
  page.moveTo(left, top).lineTo(pageFrame.right, top).lineWidth(1).strokeColor("#111111").stroke();
  const width = pageFrame.width;
  page.font(pdfFonts.bold).fontSize(17).fillColor("#111111");
  page.text(writableLetters(row.support), left, top + 6, { width, height: 23, ellipsis: true });
  page.font(pdfFonts.plain).fontSize(12);
  page.text(writableLetters(row.materials), left, top + 29, { width, height: 17, ellipsis: true });
  const head = 48;
  const room = height - head - 6;
  const wide = pageFrame.width * digitsShare;
  if (row.hasTime) {
    const wanted = Math.min(digitHeightMm * pointsPerMm, room) / digitHeightInType;
    page.font(pdfFonts.light).fontSize(wanted);
    const size = wanted * Math.min(1, wide / page.widthOfString(row.time));
    const digits = size * digitHeightInType;
    page.fontSize(size);
    const above = (page.heightOfString(row.time) - digits) / 2;
    page.text(row.time, left, top + head + (room - digits) / 2 - above, { lineBreak: false });
  } else
    page
      .font(pdfFonts.bold)
      .fontSize(26)
      .text(writableLetters(row.time), left, top + head + 4, { width: wide, height: room });
  const side = { left: left + wide + 12, width: pageFrame.width - wide - 12 };
  const lines = [
    ...(row.range === "" ? [] : [{ text: row.range, size: 20, font: pdfFonts.bold }]),
    { text: `tested ${row.testedOn}`, size: 12, font: pdfFonts.plain },
    { text: row.testAgain, size: row.isUrgent ? 16 : 12, font: row.isUrgent ? pdfFonts.bold : pdfFonts.plain },
  ];
  const total = lines.reduce((sum, { size }) => sum + size * 1.35, 0);
  page.y = top + head + Math.max(0, (room - total) / 2);
  for (const { text, size, font } of lines) {
    page.font(font).fontSize(size);
    page.text(writableLetters(text), side.left, page.y, { width: side.width, height: size * 2.8, ellipsis: true });
  }
  page.x = left;
  page.y = top + height;
}

function drawFoot(page: Page, card: LidCard): void {
  const top = pageFrame.bottom - footHeightMm * pointsPerMm;
  page.moveTo(pageFrame.left, top).lineTo(pageFrame.right, top).lineWidth(1).strokeColor("#111111").stroke();
  const mapWidth = card.bed === null ? 0 : 62 * pointsPerMm;
  const width = pageFrame.width - (mapWidth === 0 ? 0 : mapWidth + 12);
  const height = pageFrame.bottom - top;
  const text = [
    "Minutes and seconds to the wanted depth through the named film; 95 of 100 prints need a time in the range.",
    card.warmUp,
    card.evenness,
    ...card.cautions,
  ].filter((line) => line !== "");
  page.y = top + 6;
  for (const line of text) {
    page
      .font(pdfFonts.plain)
      .fontSize(card.bed === null ? 10.5 : 8.5)
      .fillColor("#111111");
    const needed = page.heightOfString(writableLetters(line), { width }) + 2;
    if (page.y + needed > top + height - 12) break;
    page.text(writableLetters(line), pageFrame.left, page.y, { width });
    page.y += 2;
  }
  if (card.bed !== null)
    drawBed(page, card.bed, { left: pageFrame.right - mapWidth, top: top + 6, width: mapWidth, height: height - 24 });
  page.font(pdfFonts.plain).fontSize(8).fillColor("#333333");
  page.text(
    writableLetters(`Printed on ${card.printedOn} by Wedgewright. ${card.address}`),
    pageFrame.left,
    pageFrame.bottom - 10,
    { width: pageFrame.width, height: 11, ellipsis: true },
  );
}

/** The bed from above: darker where more light falls, with what a time gets there. */
function drawBed(
  page: Page,
  bed: BedPlaces,
  frame: { left: number; top: number; width: number; height: number },
): void {
  const rows = bed.places.length / bed.columns;
  const [width, height] = [frame.width / bed.columns, (frame.height - 12) / rows];
  const darkestStops = 1;
  bed.places.forEach(({ stops, words }, index) => {
    const left = frame.left + (index % bed.columns) * width;
    const top = frame.top + Math.floor(index / bed.columns) * height;
    const light = Math.round(255 - 90 * (1 - Math.min(1, -stops / darkestStops)));
    page.rect(left, top, width, height).lineWidth(0.5).fillAndStroke([light, light, 255], "#666666");
    page.font(pdfFonts.bold).fontSize(10).fillColor("#111111");
    page.text(writableLetters(words), left, top + height / 2 - 7, { width, align: "center", lineBreak: false });
  });
  page.font(pdfFonts.plain).fontSize(8).fillColor("#111111");
  page.text("the bed from above, back edge first: time to add", frame.left, frame.top + frame.height - 9, {
    width: frame.width,
    align: "center",
  });
}
