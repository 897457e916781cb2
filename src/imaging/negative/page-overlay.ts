// What stands round the picture on a sheet: its margin, marks and caption, drawn row by row before mirroring.
import type { NegativePage } from "#shared/correction/layout/negative-layout.ts";
import { letterMask, type LetterMask } from "#src/imaging/letters.ts";
import { codeOfValue, type CodeRow } from "./film-rows.ts";

const captionShare = 0.6;

export interface OverlayCodes {
  /** Of the margin, of what is drawn on it, and of film without ink. */
  readonly margin: number;
  readonly drawn: number;
  readonly bare: number;
}

export interface PageOverlay {
  /** Fills a row before the picture is laid on it. */
  readonly under: (y: number, row: CodeRow) => void;
  /** Draws marks and caption. */
  readonly over: (y: number, row: CodeRow) => void;
}

/** Film values of the small strip's patches, in 1/256 of a film level. */
export type StripValues = readonly number[];

/** @param drawn text under the picture, values of the small strip, and noise where the file has 8 bits */
export async function pageOverlay(
  page: NegativePage,
  drawn: { readonly caption: string; readonly strip: StripValues; readonly noise: Uint8Array | null },
  codes: OverlayCodes,
): Promise<PageOverlay> {
  const { caption } = drawn;
  const strip = page.caption;
  const mask: LetterMask | null =
    strip === null || caption === ""
      ? null
      : await letterMask({ text: caption, heightPx: strip.height * captionShare, mostWidthPx: strip.width });
  const captionTop = strip === null || mask === null ? 0 : strip.y + Math.floor((strip.height - mask.height) / 2);
  const { block } = page;
  return {
    under(y, row) {
      if (block.width < row.length || y < block.y || y >= block.y + block.height) row.fill(codes.bare);
      if (y >= block.y && y < block.y + block.height) row.fill(codes.margin, block.x, block.x + block.width);
    },
    over(y, row) {
      for (const mark of page.marks)
        if (y >= mark.y && y < mark.y + mark.height) row.fill(codes.drawn, mark.x, mark.x + mark.width);
      if (page.strip !== null) drawStrip(page.strip, drawn, { y, row, ink: codes.drawn });
      if (strip === null || mask === null || y < captionTop || y >= captionTop + mask.height) return;
      const line = (y - captionTop) * mask.width;
      for (let x = 0; x < mask.width && strip.x + x < row.length; x++)
        if (mask.ink[line + x]! >= 128) row[strip.x + x] = codes.drawn;
    },
  };
}

/** Patches of the small strip and the lines at its ends, as far as they lie in this row. */
function drawStrip(
  { area, patches, ends }: NonNullable<NegativePage["strip"]>,
  { strip, noise }: { readonly strip: StripValues; readonly noise: Uint8Array | null },
  { y, row, ink }: { readonly y: number; readonly row: CodeRow; readonly ink: number },
): void {
  if (y < area.y || y >= area.y + area.height) return;
  for (const end of ends) row.fill(ink, end.x, end.x + end.width);
  const patchWidth = area.width / patches;
  for (let x = 0; x < area.width; x++)
    row[area.x + x] = codeOfValue(strip[Math.floor(x / patchWidth)] ?? 0, { noise, x, y });
}
