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
      const found = toneCentre(flat, {
        xMm: cx + known.xMm,
        yMm: cy + known.yMm,
        windowMm: pitchMm - gapMm * 0.3,
        sizeMm: patch.sizeMm,
        isLight: lightPatches,
      });
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

/** A square of the flat picture round the place where a patch should be. */
interface PatchWindow {
  readonly xMm: number;
  readonly yMm: number;
  readonly windowMm: number;
  readonly sizeMm: number;
  /** Whether patches are lighter than their surroundings: the film was printed as a positive. */
  readonly isLight: boolean;
}

interface WindowPixels {
  readonly left: number;
  readonly top: number;
  readonly side: number;
}

/** Centre of a patch's tone in a square round its place [mm], or null when it does not stand out. */
function toneCentre(flat: FlatSheet, patch: PatchWindow): { xMm: number; yMm: number } | null {
  const scale = flat.pxPerMm;
  const window: WindowPixels = {
    left: Math.round((patch.xMm - patch.windowMm / 2) * scale),
    top: Math.round((patch.yMm - patch.windowMm / 2) * scale),
    side: Math.round(patch.windowMm * scale),
  };
  const { left, top, side } = window;
  if (left < 0 || top < 0 || left + side >= flat.width || top + side >= flat.height) return null;
  const seen = groundAndPatch(flat, window, patch);
  if (seen === null) return null;
  const sign = patch.isLight ? -1 : 1;
  const contrast = sign * (seen.ground - seen.patch);
  if (contrast < leastContrast * Math.max(seen.ground, 0.02)) return null;
  let [sum, sumX, sumY] = [0, 0, 0];
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const depth = (sign * (seen.ground - flat.red[(top + y) * flat.width + left + x]!)) / contrast;
      // Half a patch's darkness at its edge: weights saturate on both sides, so grain inside the patch does not pull.
      const weight = Math.min(1, Math.max(0, (depth - 0.3) / 0.4));
      sum += weight;
      sumX += weight * x;
      sumY += weight * y;
    }
  }
  const expected = (patch.sizeMm * scale) ** 2;
  if (sum < 0.6 * expected || sum > 1.35 * expected) return null;
  return { xMm: (left + sumX / sum + 0.5) / scale, yMm: (top + sumY / sum + 0.5) / scale };
}

/** Light at the rim of a square, and in its middle where the patch should be; null where the picture has an end. */
function groundAndPatch(
  flat: FlatSheet,
  { left, top, side }: WindowPixels,
  { sizeMm, isLight }: PatchWindow,
): { ground: number; patch: number } | null {
  const rim: number[] = [];
  const middle: number[] = [];
  const half = (side - 1) / 2;
  const inner = (sizeMm * flat.pxPerMm) / 4;
  for (let y = 0; y < side; y += 2) {
    for (let x = 0; x < side; x += 2) {
      const value = flat.red[(top + y) * flat.width + left + x]!;
      if (Number.isNaN(value)) return null;
      const out = Math.max(Math.abs(x - half), Math.abs(y - half));
      if (out > half - 2) rim.push(value);
      else if (out < inner) middle.push(value);
    }
  }
  if (rim.length === 0 || middle.length === 0) return null;
  rim.sort((a, b) => a - b);
  return { ground: rim[Math.floor(rim.length * (isLight ? 0.3 : 0.7))]!, patch: median(middle) };
}
