// The day's plan in the sun on paper: times, frames, and room to note what really happened.
import { drawTable, drawText, pageDocument } from "./page-document.ts";

export interface DayPlanPaper {
  readonly title: string;
  readonly clock: string;
  /** Out, in, negative, frame, time, range, and an empty cell to write in. */
  readonly rows: readonly (readonly string[])[];
  readonly leftOver: readonly string[];
  readonly footing: string;
}

/** The plan as a PDF of A4 pages. */
export function dayPlanPdf(plan: DayPlanPaper): Promise<Uint8Array> {
  return pageDocument({
    title: plan.title,
    draw(page) {
      drawText(page, plan.title, { size: 20, bold: true });
      drawText(page, plan.clock, { size: 11, gapAfter: 10 });
      drawTable(
        page,
        [
          { head: "Out", share: 0.1, bold: true },
          { head: "In", share: 0.1, bold: true },
          { head: "Negative", share: 0.26 },
          { head: "Frame", share: 0.09, align: "right" },
          { head: "Time", share: 0.11, align: "right" },
          { head: "95 % range", share: 0.18 },
          { head: "Really in", share: 0.16 },
        ],
        plan.rows,
        { size: 12 },
      );
      page.y += 12;
      plan.leftOver.forEach((line) => drawText(page, line, { size: 11 }));
      page.y += 8;
      drawText(page, plan.footing, { size: 9 });
    },
  });
}
