// Thin lines in the margin of a sheet: where to cut it, and where the picture's own corners are.
import { pixelsOf } from "#shared/correction/picture-size.ts";
import type { RectanglePx } from "#shared/correction/rectangle-px.ts";

/** Length and width of a mark's lines [mm]. */
const markLengthMm = 4;
const markWidthMm = 0.15;

interface MarkParts {
  readonly part: RectanglePx;
  readonly keep: RectanglePx;
  /** Where the part's corner lies on the sheet. */
  readonly left: number;
  readonly top: number;
  readonly margin: number;
  /** Room that something takes between the part and the lower margin. */
  readonly below: number;
  readonly dpi: number;
  readonly whole: { readonly widthPx: number; readonly heightPx: number };
  /** Whether the picture's own corners are marked too. */
  readonly corners: boolean;
}

/**
 * Marks of one sheet. Where a neighbour goes on, one pair of lines stands outside what is kept, its inner edge on the
 * cut; there is no other line on that side to cut along by mistake.
 */
export function cuttingMarks({ part, keep, left, top, margin, below, dpi, whole, corners }: MarkParts): RectanglePx[] {
  const length = Math.min(pixelsOf(markLengthMm, dpi), margin - 2);
  const width = Math.max(1, pixelsOf(markWidthMm, dpi));
  const gap = Math.floor((margin - length) / 2);
  const along = (start: number, kept: { from: number; to: number }, size: number, wholeSize: number): number[] => {
    const [ownFirst, ownLast] = corners ? [[0], [size - width]] : [[], []];
    const before = start > 0 ? [kept.from - start - width] : ownFirst;
    const after = start + size < wholeSize ? [kept.to - start] : ownLast;
    return [...before, ...after];
  };
  const atX = along(part.x, { from: keep.x, to: keep.x + keep.width }, part.width, whole.widthPx);
  const atY = along(part.y, { from: keep.y, to: keep.y + keep.height }, part.height, whole.heightPx);
  const rows = [top - margin + gap, top + part.height + below + gap];
  const columns = [left - margin + gap, left + part.width + gap];
  return [
    ...atX.flatMap((x) => rows.map((y) => ({ x: left + x, y, width, height: length }))),
    ...atY.flatMap((y) => columns.map((x) => ({ x, y: top + y, width: length, height: width }))),
  ];
}
