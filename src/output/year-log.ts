// The log of a year on paper: tests and prints by day.
import { drawTable, drawText, pageDocument } from "./page-document.ts";

interface YearLogRow {
  readonly day: string;
  /** "test" or "print". */
  readonly kind: string;
  readonly what: string;
  readonly materials: string;
  readonly time: string;
  readonly outcome: string;
  readonly who: string;
}

export interface YearLogPages {
  readonly title: string;
  /** How many of what there are. */
  readonly summary: string;
  readonly rows: readonly YearLogRow[];
  readonly footing: string;
}

/** The log as a PDF of A4 pages. */
export function yearLogPdf({ title, summary, rows, footing }: YearLogPages): Promise<Uint8Array> {
  return pageDocument({
    title,
    draw(page) {
      drawText(page, title, { size: 22, bold: true });
      drawText(page, summary, { size: 11, gapAfter: 10 });
      if (rows.length > 0)
        drawTable(
          page,
          [
            { head: "day", share: 0.13 },
            { head: "", share: 0.07 },
            { head: "what", share: 0.19, bold: true },
            { head: "on what, under what", share: 0.25 },
            { head: "time", share: 0.1, align: "right" },
            { head: "outcome", share: 0.14 },
            { head: "by", share: 0.12 },
          ],
          rows.map(({ day, kind, what, materials, time, outcome, who }) => [
            day,
            kind,
            what,
            materials,
            time,
            outcome,
            who,
          ]),
          { size: 8.5 },
        );
      page.y += 8;
      drawText(page, footing, { size: 8 });
    },
  });
}
