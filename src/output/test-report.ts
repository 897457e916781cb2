// One test on paper: answer, picture, curve, conditions and step table.
import { plotGeometry, type PlacedPoint, type PlacedSeries, type PlotFrame } from "#shared/format/plot-geometry.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import { asBuffer, pdfFonts } from "./pdf-document.ts";
import { drawTable, drawText, pageDocument, pageFrame, writableLetters, type Page } from "./page-document.ts";

export interface TestReport {
  readonly title: string;
  readonly materials: string;
  readonly time: string;
  readonly range: string;
  readonly verdict: string;
  readonly reasons: readonly string[];
  readonly warnings: readonly string[];
  readonly conditions: readonly { readonly term: string; readonly value: string }[];
  /** The curve as the test's page shows it. */
  readonly plot: PlotSpec | null;
  /** Small upright copy of the picture, JPEG. */
  readonly picture: Uint8Array;
  readonly pictureWidth: number;
  readonly pictureHeight: number;
  readonly steps: readonly (readonly string[])[];
  readonly inputLabel: string;
  readonly footing: string;
}

/** Heights of plot and picture on a page with room for them, in points. */
const plotHeight = 210;
const pictureHeight = 150;
/** Width for the name of a point. */
const markRoom = 60;

/** Sizes that are tried until the report stands on one sheet, as shares of the comfortable one. */
const tightness = [1, 0.92, 0.84, 0.76, 0.68, 0.6];

/** The report as a PDF: one sheet of A4, set as small as that takes and no smaller; a last resort may need a second. */
export async function testReportPdf(report: TestReport): Promise<Uint8Array> {
  let made = await reportSetAt(report, 1);
  for (const share of tightness.slice(1)) {
    if (made.pages === 1) break;
    made = await reportSetAt(report, share);
  }
  return made.pdf;
}

async function reportSetAt(report: TestReport, share: number): Promise<{ pdf: Uint8Array; pages: number }> {
  let pages = 1;
  const pdf = await pageDocument({
    title: report.title,
    draw(page) {
      page.on("pageAdded", () => pages++);
      drawHead(page, report, share);
      drawPicture(page, report, pictureHeight * share);
      if (report.plot !== null) drawPlot(page, report.plot, plotHeight * share);
      const conditions = report.conditions.map(({ term, value }) => `${term}: ${value}`).join(" · ");
      drawText(page, conditions, { size: 9 * share, gapAfter: 6 * share });
      drawTable(
        page,
        [
          { head: "step", share: 0.08, align: "right" },
          { head: report.inputLabel, share: 0.22, align: "right" },
          { head: "red density", share: 0.14, align: "right" },
          { head: "± sigma", share: 0.12, align: "right" },
          { head: "visual density", share: 0.16, align: "right" },
          { head: "L*", share: 0.08, align: "right" },
          { head: "remarks", share: 0.2 },
        ],
        report.steps,
        { size: 8.5 * share, padding: 1.6 * share },
      );
      page.y += 6 * share;
      drawText(page, report.footing, { size: 8 * share });
    },
  });
  return { pdf, pages };
}

function drawHead(page: Page, report: TestReport, share: number): void {
  drawText(page, report.title, { size: 18 * share, bold: true });
  drawText(page, report.materials, { size: 11 * share, gapAfter: 6 * share });
  drawText(page, report.time, { size: 26 * share, bold: true, gapAfter: 2 * share });
  drawText(page, report.range, { size: 12 * share });
  drawText(page, report.verdict, { size: 11 * share, bold: true });
  report.reasons.forEach((reason) => drawText(page, reason, { size: 10 * share, gapAfter: 3 * share }));
  report.warnings.forEach((warning) =>
    drawText(page, `Take care: ${warning}`, { size: 9 * share, gapAfter: 2 * share }),
  );
  page.y += 6 * share;
}

function drawPicture(
  page: Page,
  { picture, pictureWidth: width, pictureHeight: height }: TestReport,
  highest: number,
): void {
  const scale = Math.min(pageFrame.width / width, highest / height);
  if (page.y + height * scale > pageFrame.bottom) page.addPage();
  page.image(asBuffer(picture), pageFrame.left, page.y, { width: width * scale, height: height * scale });
  page.y += height * scale + 10;
}

/** The curve as the page shows it: axes, band, line, steps with error bars, named points. */
function drawPlot(page: Page, plot: PlotSpec, height: number): void {
  if (page.y + height > pageFrame.bottom) page.addPage();
  const frame = {
    left: pageFrame.left + 40,
    right: pageFrame.right - 10,
    top: page.y + 6,
    bottom: page.y + height - 34,
  };
  const { xTicks, yTicks, series } = plotGeometry(plot, frame);
  page.font(pdfFonts.plain).fontSize(8).fillColor("#333333").lineWidth(0.4).strokeColor("#bbbbbb");
  for (const { at, label } of xTicks) {
    page.moveTo(at, frame.top).lineTo(at, frame.bottom).stroke();
    page.text(writableLetters(label), at - 15, frame.bottom + 4, { width: 30, align: "center" });
  }
  for (const { at, label } of yTicks) {
    page.moveTo(frame.left, at).lineTo(frame.right, at).stroke();
    page.text(writableLetters(label), frame.left - 34, at - 4, { width: 30, align: "right" });
  }
  page.text(writableLetters(plot.x.label), frame.left, frame.bottom + 16, {
    width: frame.right - frame.left,
    align: "center",
  });
  page.text(writableLetters(plot.y.label), frame.left + 4, frame.top + 2, { width: 200 });
  for (const each of series) drawSeries(page, each, frame);
  page.x = pageFrame.left;
  page.y = frame.bottom + 34;
}

function drawSeries(page: Page, { kind, path, points }: PlacedSeries, frame: PlotFrame): void {
  path.forEach(({ x, y }, index) => (index === 0 ? page.moveTo(x, y) : page.lineTo(x, y)));
  if (kind === "band" && path.length > 0) page.closePath().fillOpacity(0.2).fill("#265792").fillOpacity(1);
  if (kind === "line" && path.length > 0) page.lineWidth(1.4).strokeColor("#0c2a52").stroke();
  for (const point of points) {
    if (kind === "marks") drawMark(page, point, frame);
    else drawStep(page, point);
  }
}

function drawStep(page: Page, { x, y, lowerY, upperY, leftOut }: PlacedPoint): void {
  if (lowerY !== null && upperY !== null)
    page.moveTo(x, lowerY).lineTo(x, upperY).lineWidth(0.7).strokeColor("#111111").stroke();
  page.circle(x, y, 2.2).fillAndStroke(leftOut ? "#ffffff" : "#265792", "#111111");
}

/** A named point: a ring, its name on the side that has room. */
function drawMark(page: Page, { x, y, label }: PlacedPoint, frame: PlotFrame): void {
  page.circle(x, y, 4.5).lineWidth(1.2).strokeColor("#111111").stroke();
  const isNearRight = x > frame.right - markRoom;
  page
    .fillColor("#111111")
    .fontSize(8)
    .text(writableLetters(label), isNearRight ? x - markRoom - 6 : x + 6, y + 2, {
      width: markRoom,
      align: isNearRight ? "right" : "left",
    });
}
