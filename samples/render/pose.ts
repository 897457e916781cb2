// Where points of the print fall in the picture: a pinhole camera over a flat sheet.
import type { PointPx } from "#shared/schema/reading.ts";
import type { Camera } from "./scene.ts";

/** Row-major 3 x 3 matrix. */
export type Matrix = readonly [number, number, number, number, number, number, number, number, number];

/** Maps print mm to upright pixels. */
export function poseOf(camera: Camera, stripLengthMm: number, stripWidthMm: number): Matrix {
  const focal = camera.focalShare * Math.max(camera.widthPx, camera.heightPx);
  const turn = radians(camera.turnDegrees);
  const lean = radians(camera.leanDegrees);
  const tilt = radians(camera.tiltDegrees);
  // Turn about the viewing axis, then tilt about an axis in the picture plane that points along the lean.
  const turned: Matrix = [Math.cos(turn), -Math.sin(turn), 0, Math.sin(turn), Math.cos(turn), 0, 0, 0, 1];
  const axis = [Math.cos(lean), Math.sin(lean)] as const;
  const c = Math.cos(tilt);
  const s = Math.sin(tilt);
  const tilted: Matrix = [
    c + axis[0] * axis[0] * (1 - c),
    axis[0] * axis[1] * (1 - c),
    axis[1] * s,
    axis[0] * axis[1] * (1 - c),
    c + axis[1] * axis[1] * (1 - c),
    -axis[0] * s,
    -axis[1] * s,
    axis[0] * s,
    c,
  ];
  const rotation = multiply(tilted, turned);
  // A scanner sees everything square on: the same matrix with the distance out of the division.
  const distanceMm = (focal * stripLengthMm) / camera.stripPx;
  const centre = [stripLengthMm / 2, stripWidthMm / 2] as const;
  const flat = camera.kind === "scan" || camera.tiltDegrees === 0;
  const toCamera: Matrix = [
    rotation[0],
    rotation[1],
    -(rotation[0] * centre[0] + rotation[1] * centre[1]),
    rotation[3],
    rotation[4],
    -(rotation[3] * centre[0] + rotation[4] * centre[1]),
    flat ? 0 : rotation[6],
    flat ? 0 : rotation[7],
    distanceMm - (flat ? 0 : rotation[6] * centre[0] + rotation[7] * centre[1]),
  ];
  const view: Matrix = [focal, 0, camera.aim[0] * camera.widthPx, 0, focal, camera.aim[1] * camera.heightPx, 0, 0, 1];
  return multiply(view, toCamera);
}

export function project(matrix: Matrix, x: number, y: number): PointPx {
  const w = matrix[6] * x + matrix[7] * y + matrix[8];
  return [(matrix[0] * x + matrix[1] * y + matrix[2]) / w, (matrix[3] * x + matrix[4] * y + matrix[5]) / w];
}

function multiply(left: Matrix, right: Matrix): Matrix {
  const out = [0, 0, 0, 0, 0, 0, 0, 0, 0] as [number, number, number, number, number, number, number, number, number];
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 3; column++) {
      out[row * 3 + column] =
        left[row * 3]! * right[column]! +
        left[row * 3 + 1]! * right[3 + column]! +
        left[row * 3 + 2]! * right[6 + column]!;
    }
  }
  return out;
}

export function inverse(m: Matrix): Matrix {
  const a = m[4] * m[8] - m[5] * m[7];
  const b = m[5] * m[6] - m[3] * m[8];
  const c = m[3] * m[7] - m[4] * m[6];
  const determinant = m[0] * a + m[1] * b + m[2] * c;
  return [
    a / determinant,
    (m[2] * m[7] - m[1] * m[8]) / determinant,
    (m[1] * m[5] - m[2] * m[4]) / determinant,
    b / determinant,
    (m[0] * m[8] - m[2] * m[6]) / determinant,
    (m[2] * m[3] - m[0] * m[5]) / determinant,
    c / determinant,
    (m[1] * m[6] - m[0] * m[7]) / determinant,
    (m[0] * m[4] - m[1] * m[3]) / determinant,
  ];
}

export function radians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}
