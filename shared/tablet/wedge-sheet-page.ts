// Where the wedge sheet and the window for a physical tablet lie on the film.
import { TroubleError } from "#shared/errors.ts";
import type { SheetTrouble } from "./sheet-troubles.ts";
import type { SheetLayout } from "./wedge-sheet-layout.ts";

export type SheetPaper = "a4" | "letter";

/** Page sizes: ISO 216 A4; Letter 8.5 by 11 inches of 25.4 mm. */
export const paperSizesMm: Readonly<Record<SheetPaper, { readonly widthMm: number; readonly heightMm: number }>> = {
  a4: { widthMm: 210, heightMm: 297 },
  letter: { widthMm: 215.9, heightMm: 279.4 },
};

/** Margin that desktop printers leave unprinted: common practice, no source [mm]. */
const unprintedMm = 5;
/** Space above the block, and between block and tablet window [mm]. */
const topMm = 8;
const betweenMm = 6;
/** The window is left out when less than this remains, and never made taller than the second [mm]. */
const leastWindowMm = 22;
const mostWindowMm = 40;

export interface RectangleMm {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface SheetPage {
  readonly paper: SheetPaper;
  readonly widthMm: number;
  readonly heightMm: number;
  /** The block of code, marks and patches. */
  readonly block: RectangleMm;
  /** Clear film for a physical step tablet, or null when the page has no room for one. */
  readonly tabletWindow: RectangleMm | null;
}

/**
 * The page as it is read: block at the top, below it a window of clear film for a physical step tablet.
 * @throws TroubleError when the block does not fit the paper
 */
export function sheetPage(layout: SheetLayout, paper: SheetPaper): SheetPage {
  const page = paperSizesMm[paper];
  const width = layout.options.widthMm;
  const roomMm = page.heightMm - topMm - unprintedMm - layout.heightMm;
  if (width > page.widthMm - 2 * unprintedMm || roomMm < 0) {
    throw new TroubleError<SheetTrouble>(
      "bad-request",
      { code: "sheet-beyond-film", widthMm: width, heightMm: layout.heightMm },
      { field: "widthMm" },
    );
  }
  const block = { xMm: (page.widthMm - width) / 2, yMm: topMm, widthMm: width, heightMm: layout.heightMm };
  const windowMm = Math.min(mostWindowMm, roomMm - betweenMm);
  const tabletWindow =
    windowMm < leastWindowMm
      ? null
      : { xMm: block.xMm, yMm: topMm + layout.heightMm + betweenMm, widthMm: width, heightMm: windowMm };
  return { paper, widthMm: page.widthMm, heightMm: page.heightMm, block, tabletWindow };
}
