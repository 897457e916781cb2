// One test on paper: answer, picture, curve, conditions and step table.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Curve } from "#shared/schema/curve.ts";
import { plotAxis } from "#shared/format/plot.ts";
import { topShownDensity } from "#shared/format/top-shown-density.ts";
import { asBuffer, pdfFonts } from "./pdf-document.ts";
import { drawTable, drawText, pageDocument, pageFrame, plainLetters, type Page } from "./page-document.ts";

export interface TestReport {
  readonly title: string;
  readonly materials: string;
  readonly time: string;
  readonly range: string;
  readonly verdict: string;
  readonly reasons: readonly string[];
  readonly warnings: readonly string[];
  readonly conditions: readonly { readonly term: string; readonly value: string }[];
  readonly curve: Curve | null;
  /** Small upright copy of the picture, JPEG. */
  readonly picture: Uint8Array;
  readonly pictureWidth: number;
  readonly pictureHeight: number;
  readonly steps: readonly (readonly string[])[];
  readonly inputLabel: string;
  readonly footing: string;
}

const plotHeight = 210;
const pictureHeight = 150;

/** The report as a PDF of A4 pages. */
export function testReportPdf(report: TestReport): Promise<Uint8Array> {
  return pageDocument({
    title: report.title,
    draw(page) {
      drawText(page, report.title, { size: 20, bold: true });
      drawText(page, report.materials, { size: 11, gapAfter: 8 });
      drawText(page, report.time, { size: 26, bold: true, gapAfter: 2 });
      drawText(page, report.range, { size: 12 });
      drawText(page, report.verdict, { size: 11, bold: true });
      report.reasons.forEach((reason) => drawText(page, reason, { size: 10, gapAfter: 3 }));
      report.warnings.forEach((warning) => drawText(page, `Take care: ${warning}`, { size: 9, gapAfter: 2 }));
      page.y += 6;
      drawPicture(page, report);
      if (report.curve !== null) drawCurve(page, report.curve);
      drawTable(
        page,
        [
          { head: "condition", share: 0.35 },
          { head: "value", share: 0.65 },
        ],
        report.conditions.map(({ term, value }) => [term, value]),
        { size: 9 },
      );
      page.y += 10;
      drawTable(
        page,
        [
          { head: "step", share: 0.1, align: "right" },
          { head: report.inputLabel, share: 0.2, align: "right" },
          { head: "red density", share: 0.16, align: "right" },
          { head: "± sigma", share: 0.14, align: "right" },
          { head: "visual density", share: 0.16, align: "right" },
          { head: "L*", share: 0.1, align: "right" },
          { head: "remarks", share: 0.14 },
        ],
        report.steps,
        { size: 8 },
      );
      page.y += 8;
      drawText(page, report.footing, { size: 8 });
    },
  });
}

function drawPicture(page: Page, { picture, pictureWidth: width, pictureHeight: height }: TestReport): void {
  const scale = Math.min(pageFrame.width / width, pictureHeight / height);
  if (page.y + height * scale > pageFrame.bottom) page.addPage();
  page.image(asBuffer(picture), pageFrame.left, page.y, { width: width * scale, height: height * scale });
  page.y += height * scale + 10;
}

/** The characteristic curve with its band and steps, density over log H. */
function drawCurve(page: Page, curve: Curve): void {
  if (page.y + plotHeight > pageFrame.bottom) page.addPage();
  const frame = {
    left: pageFrame.left + 40,
    right: pageFrame.right - 10,
    top: page.y + 6,
    bottom: page.y + plotHeight - 34,
  };
  const logHs = [...curve.samples.map((sample) => sample.logH), ...curve.steps.map((step) => step.logH)];
  const logHAxis = plotAxis("log H", logHs, { count: 8 });
  const densityAxis = plotAxis("density", [topShownDensity([curve])], { count: 8, from: 0 });
  const held = (share: number): number => Math.min(Math.max(share, 0), 1);
  const x = (logH: number): number =>
    frame.left + held((logH - logHAxis.min) / (logHAxis.max - logHAxis.min)) * (frame.right - frame.left);
  const y = (density: number): number => frame.bottom - held(density / densityAxis.max) * (frame.bottom - frame.top);

  page.font(pdfFonts.plain).fontSize(8).fillColor("#333333").lineWidth(0.4).strokeColor("#bbbbbb");
  for (const { at, label } of logHAxis.ticks) {
    page.moveTo(x(at), frame.top).lineTo(x(at), frame.bottom).stroke();
    page.text(plainLetters(label), x(at) - 15, frame.bottom + 4, { width: 30, align: "center" });
  }
  for (const { at, label } of densityAxis.ticks) {
    page.moveTo(frame.left, y(at)).lineTo(frame.right, y(at)).stroke();
    page.text(plainLetters(label), frame.left - 34, y(at) - 4, { width: 30, align: "right" });
  }
  page.text("log H (log10 of seconds under the test's lamp)", frame.left, frame.bottom + 16, {
    width: frame.right - frame.left,
    align: "center",
  });
  page.text(plainLetters(`density above paper, ${curve.channel} channel`), frame.left + 4, frame.top + 2, {
    width: 200,
  });

  const [first] = curve.samples;
  if (first !== undefined) {
    page.moveTo(x(first.logH), y(first.upper));
    curve.samples.forEach((sample) => page.lineTo(x(sample.logH), y(sample.upper)));
    [...curve.samples].reverse().forEach((sample) => page.lineTo(x(sample.logH), y(sample.lower)));
    page.closePath().fillOpacity(0.2).fill("#265792").fillOpacity(1);
    page.moveTo(x(first.logH), y(first.density));
    curve.samples.forEach((sample) => page.lineTo(x(sample.logH), y(sample.density)));
    page.lineWidth(1.4).strokeColor("#0c2a52").stroke();
  }
  for (const step of curve.steps) {
    page
      .moveTo(x(step.logH), y(step.density - rangeSigmas * step.sigma))
      .lineTo(x(step.logH), y(step.density + rangeSigmas * step.sigma))
      .lineWidth(0.7)
      .strokeColor("#111111")
      .stroke();
    page.circle(x(step.logH), y(step.density), 2.2);
    if (step.leftOut === null) page.fillAndStroke("#265792", "#111111");
    else page.fillAndStroke("#ffffff", "#111111");
  }
  for (const [name, point] of Object.entries(curve.points)) {
    if (point === null) continue;
    page.circle(x(point.logH), y(point.density), 4.5).lineWidth(1.2).strokeColor("#111111").stroke();
    page
      .fillColor("#111111")
      .fontSize(8)
      .text(name, x(point.logH) + 6, y(point.density) + 2, { width: 60 });
  }
  page.x = pageFrame.left;
  page.y = frame.bottom + 34;
}
