// How far the patches lie from where the ring marks put them: cloth stretches, paper cockles, lenses bend.
import { median } from "#shared/statistics/robust.ts";
import { smoothSurface, surfaceAt } from "#shared/reading/light/surface-fit.ts";
import type { SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { FlatSheet } from "./rectify-sheet.ts";

export interface PatchOffsets {
  /** Where a place of the sheet lies on the flat picture, beyond where it should [mm]. */
  readonly offsetAt: (xMm: number, yMm: number) => { xMm: number; yMm: number };
  /** Standard deviation of single patches about the smooth offsets [mm]; null when too few patches show. */
  readonly residualMm: number | null;
  readonly largestMm: number;
}

/** A patch serves when it is darker than its surroundings by this share of their light. */
const leastContrast = 0.25;
const fewestPatches = 8;
const rounds = 3;

/**
 * Smooth offsets of the patches, from the centre of darkness in each patch's cell.
 * They cannot walk off by a cell: an offset is looked for only inside the patch's own cell and white gap.
 */
export function patchOffsets(flat: FlatSheet, layout: SheetLayout, lightPatches: boolean): PatchOffsets {
  const { pitchMm, gapMm } = layout.grid;
  const place = (xMm: number, yMm: number) => ({
    x: (2 * xMm) / layout.options.widthMm - 1,
    y: (2 * yMm) / layout.heightMm - 1,
  });
  let current: PatchOffsets = { offsetAt: () => ({ xMm: 0, yMm: 0 }), residualMm: null, largestMm: 0 };
  for (let round = 0; round < rounds; round++) {
    const points: { x: number; y: number; dx: number; dy: number }[] = [];
    for (const patch of layout.patches) {
      const [cx, cy] = [patch.xMm + patch.sizeMm / 2, patch.yMm + patch.sizeMm / 2];
      const known = current.offsetAt(cx, cy);
      const found = darkCentre(flat, cx + known.xMm, cy + known.yMm, pitchMm - gapMm * 0.3, patch.sizeMm, lightPatches);
      if (found !== null) points.push({ ...place(cx, cy), dx: found.xMm - cx, dy: found.yMm - cy });
    }
    if (points.length < fewestPatches) return current;
    const across = smoothSurface(
      points.map(({ x, y, dx }) => ({ x, y, value: dx })),
      3,
    );
    const down = smoothSurface(
      points.map(({ x, y, dy }) => ({ x, y, value: dy })),
      3,
    );
    const offsetAt = (xMm: number, yMm: number) => {
      const { x, y } = place(xMm, yMm);
      return { xMm: surfaceAt(across, x, y), yMm: surfaceAt(down, x, y) };
    };
    const largestMm = Math.max(
      ...layout.patches.map((patch) => {
        const offset = offsetAt(patch.xMm, patch.yMm);
        return Math.hypot(offset.xMm, offset.yMm);
      }),
    );
    // Offsets beyond half a patch are not a stretch but a mistake.
    if (largestMm > pitchMm / 2) return current;
    current = { offsetAt, residualMm: Math.hypot(across.residual, down.residual) / Math.SQRT2, largestMm };
  }
  return current;
}

/** Centre of darkness in a square round a place [mm], or null when the patch does not stand out. */
function darkCentre(
  flat: FlatSheet,
  xMm: number,
  yMm: number,
  windowMm: number,
  sizeMm: number,
  lightPatches: boolean,
): { xMm: number; yMm: number } | null {
  const scale = flat.pxPerMm;
  const [left, top] = [Math.round((xMm - windowMm / 2) * scale), Math.round((yMm - windowMm / 2) * scale)];
  const side = Math.round(windowMm * scale);
  if (left < 0 || top < 0 || left + side >= flat.width || top + side >= flat.height) return null;
  const rim: number[] = [];
  const middle: number[] = [];
  const half = (side - 1) / 2;
  const inner = (sizeMm * scale) / 4;
  for (let y = 0; y < side; y += 2) {
    for (let x = 0; x < side; x += 2) {
      const value = flat.red[(top + y) * flat.width + left + x]!;
      if (!(value === value)) return null;
      const out = Math.max(Math.abs(x - half), Math.abs(y - half));
      if (out > half - 2) rim.push(value);
      else if (out < inner) middle.push(value);
    }
  }
  if (rim.length === 0 || middle.length === 0) return null;
  rim.sort((a, b) => a - b);
  const ground = rim[Math.floor(rim.length * (lightPatches ? 0.3 : 0.7))]!;
  const contrast = (lightPatches ? -1 : 1) * (ground - median(middle));
  if (contrast < leastContrast * Math.max(ground, 0.02)) return null;
  let [sum, sumX, sumY] = [0, 0, 0];
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const depth = ((lightPatches ? -1 : 1) * (ground - flat.red[(top + y) * flat.width + left + x]!)) / contrast;
      // Half a patch's darkness at its edge: weights saturate on both sides, so grain inside the patch does not pull.
      const weight = Math.min(1, Math.max(0, (depth - 0.3) / 0.4));
      sum += weight;
      sumX += weight * x;
      sumY += weight * y;
    }
  }
  const expected = (sizeMm * scale) ** 2;
  if (sum < 0.6 * expected || sum > 1.35 * expected) return null;
  return { xMm: (left + sumX / sum + 0.5) / scale, yMm: (top + sumY / sum + 0.5) / scale };
}
