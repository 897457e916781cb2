// From a sheet's file to a photo of its print, in one call.
import { sheetLayout, type SheetOptions } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { photograph, type Photo } from "./camera.ts";
import { contactPrint, ordinaryFlaws, type PrintFlaws } from "./contact-print.ts";
import type { Studio } from "./studio.ts";

/** Coated paper shows this far outside the block [mm], then a ragged edge and bare paper. */
const coatedBeyondMm = 4;
/** Bare paper round the coating that contact-print.ts adds [mm]. */
const bareMm = 22;

export async function printAndPhotograph({
  studio,
  png,
  options,
  seed,
  laidWrong = false,
  longSidePx,
  tilt,
  flaws = ordinaryFlaws,
}: {
  studio: Studio;
  png: Uint8Array;
  options: SheetOptions;
  seed: number;
  laidWrong?: boolean;
  longSidePx?: number;
  tilt?: number;
  flaws?: PrintFlaws;
}): Promise<Photo> {
  const { block } = sheetPage(sheetLayout(options), "a4");
  const cropMm = {
    x: block.xMm - coatedBeyondMm,
    y: block.yMm - coatedBeyondMm,
    width: block.widthMm + 2 * coatedBeyondMm,
    height: block.heightMm + 2 * coatedBeyondMm,
  };
  const print = await contactPrint({ studio, png, seed, cropMm, laidWrong, flaws });
  const photo = await photograph(print, {
    seed,
    cloth: studio.cloth,
    ...(longSidePx === undefined ? {} : { longSidePx }),
    ...(tilt === undefined ? {} : { tilt }),
  });
  const shift = coatedBeyondMm + bareMm;
  return { ...photo, placeOf: (xMm, yMm) => photo.placeOf(xMm + shift, yMm + shift) };
}
