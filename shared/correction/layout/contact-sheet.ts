// Several small negatives on one film: row by row in their order, as the print is read.
import { TroubleError } from "#shared/errors.ts";
import type { NegativeTrouble } from "#shared/correction/correction-facts.ts";

interface SizeMm {
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface ContactPlace {
  /** Index of the picture. */
  readonly index: number;
  /** Its left upper corner on the film as the print is read [mm]. */
  readonly xMm: number;
  readonly yMm: number;
}

/** Room at the film's edges that desktop printers leave unprinted [mm]. common practice, no source */
const edgeMm = 5;

/**
 * Places pictures on as many films as they need: a row is filled from the left, the next one begins below its tallest.
 * @param pictures sizes with their own margins
 * @param film.gapMm between pictures
 * @returns one list of places a film
 * @throws TroubleError when a picture is larger than the film
 */
export function contactSheets(
  pictures: readonly SizeMm[],
  film: SizeMm & { readonly gapMm: number },
): (readonly ContactPlace[])[] {
  const room = { widthMm: film.widthMm - 2 * edgeMm, heightMm: film.heightMm - 2 * edgeMm };
  const sheets: ContactPlace[][] = [];
  let [x, y, tallest] = [0, 0, 0];
  let sheet: ContactPlace[] = [];
  pictures.forEach(({ widthMm, heightMm }, index) => {
    if (widthMm > room.widthMm || heightMm > room.heightMm)
      throw new TroubleError<NegativeTrouble>(
        "bad-request",
        { code: "picture-beyond-film", number: index + 1, widthMm, heightMm, ...fits(room) },
        { field: "widthMm" },
      );
    if (x > 0 && x + widthMm > room.widthMm) [x, y, tallest] = [0, y + tallest + film.gapMm, 0];
    if (sheet.length === 0 || y + heightMm > room.heightMm) {
      sheet = [];
      sheets.push(sheet);
      [x, y, tallest] = [0, 0, 0];
    }
    sheet.push({ index, xMm: edgeMm + x, yMm: edgeMm + y });
    x += widthMm + film.gapMm;
    tallest = Math.max(tallest, heightMm);
  });
  return sheets;
}

const fits = ({ widthMm, heightMm }: SizeMm) => ({ roomWidthMm: widthMm, roomHeightMm: heightMm });
