// How light falls on the print and reaches the sensor, as a coarse grid that is interpolated for each pixel.
import type { Camera } from "./scene.ts";
import { project, radians, type Matrix } from "./pose.ts";

export interface LightField {
  /** Fills `out` with the light of row `y`, 1 where it is best. */
  row(y: number, out: Float32Array): void;
}

const cellPx = 16;

export function lightField(
  camera: Camera,
  toPrint: Matrix,
  sheetMm: { readonly centre: readonly [number, number]; readonly side: number },
): LightField {
  const columns = Math.ceil(camera.widthPx / cellPx) + 2;
  const rows = Math.ceil(camera.heightPx / cellPx) + 2;
  const grid = new Float32Array(columns * rows);
  const direction = [Math.cos(radians(camera.fallOffDegrees)), Math.sin(radians(camera.fallOffDegrees))] as const;
  // A small lamp to one side: choose its height so that the far end of the sheet gets (1 - fall-off) of the near end.
  const lamp = lampFor(camera.fallOffShare);
  const focal = camera.focalShare * Math.max(camera.widthPx, camera.heightPx);
  let best = 0;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [x, y] = [column * cellPx, row * cellPx];
      const [xMm, yMm] = project(toPrint, x, y);
      const along =
        ((xMm - sheetMm.centre[0]) * direction[0] + (yMm - sheetMm.centre[1]) * direction[1]) / sheetMm.side;
      const across =
        ((yMm - sheetMm.centre[1]) * direction[0] - (xMm - sheetMm.centre[0]) * direction[1]) / sheetMm.side;
      const clampedAlong = Math.max(-2, Math.min(2, along));
      const level = camera.fallOffShare === 0 ? 1 : lamp(clampedAlong, Math.max(-2, Math.min(2, across)));
      const offAxis = Math.atan(Math.hypot(x - camera.widthPx / 2, y - camera.heightPx / 2) / focal);
      const vignette = camera.kind === "scan" ? 1 : 1 - camera.vignetteShare * (1 - Math.cos(offAxis) ** 4);
      const value = level * vignette;
      grid[row * columns + column] = value;
      if (Math.abs(along) < 0.6 && Math.abs(across) < 0.6) best = Math.max(best, value);
    }
  }
  for (let index = 0; index < grid.length; index++) grid[index]! /= best || 1;
  return {
    row(y, out) {
      const row = Math.floor(y / cellPx);
      const share = y / cellPx - row;
      for (let x = 0; x < out.length; x++) {
        const column = Math.floor(x / cellPx);
        const shareX = x / cellPx - column;
        const at = row * columns + column;
        const above = grid[at]! * (1 - shareX) + grid[at + 1]! * shareX;
        const below = grid[at + columns]! * (1 - shareX) + grid[at + columns + 1]! * shareX;
        out[x] = above * (1 - share) + below * share;
      }
    },
  };
}

/** Irradiance over a sheet of side 1 from a small lamp above a point beside it; ends differ by the wanted share. */
function lampFor(fallOffShare: number): (along: number, across: number) => number {
  const at = -0.7;
  const level = (heightShare: number, along: number, across: number): number =>
    (1 + ((along - at) ** 2 + across ** 2) / heightShare ** 2) ** -1.5;
  let [low, high] = [0.3, 60];
  for (let round = 0; round < 60; round++) {
    const middle = Math.sqrt(low * high);
    if (1 - level(middle, 0.5, 0) / level(middle, -0.5, 0) > fallOffShare) low = middle;
    else high = middle;
  }
  return (along, across) => level(low, along, across);
}
