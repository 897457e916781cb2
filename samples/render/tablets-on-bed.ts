// Several tablets printed across an uneven bed and photographed side by side: pixels, and the lamp's light beside them.
// The lamp is a bank of tubes summed piece by piece, which is no polynomial such as a reader would fit.
import type { Corners } from "#shared/schema/reading.ts";
import { cameraEye } from "./colour.ts";
import { inverse, project, radians, type Matrix } from "./pose.ts";
import { printSurface, type PrintSurface } from "./print-surface.ts";
import { normalTable, seededRandom } from "./random.ts";
import { cornersOf } from "./render-scene.ts";
import { filteredRows } from "./row-filter.ts";
import type { StripPrint } from "./scene.ts";

export interface TubeBox {
  readonly bedWidthMm: number;
  readonly bedHeightMm: number;
  readonly heightMm: number;
  readonly tubeLengthMm: number;
  /**
   * Tubes lie across the bed from left to right; places from the back edge, and each one's output, 1 for a fresh one.
   */
  readonly tubes: readonly { readonly backMm: number; readonly output: number }[];
  /** What walls and reflector add everywhere, as a share of the light in the middle. */
  readonly strayShare: number;
}

interface BedPiece {
  /** Where the step that `placeStep` numbers lay on the bed. */
  readonly leftMm: number;
  readonly backMm: number;
  /** Middle of the tablet in the picture, and its turn [degrees, clockwise]. */
  readonly at: readonly [number, number];
  readonly turnedDegrees: number;
}

export interface BedScene {
  readonly seed: number;
  readonly box: TubeBox;
  /** One tablet's print; its log exposures are those under the middle of the bed. */
  readonly print: StripPrint;
  readonly pieces: readonly BedPiece[];
  /** Number of the step that a piece's place is measured to. */
  readonly placeStep: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number;
  /** Loss towards the picture's corners, and across it from left to right, shares. */
  readonly vignetteShare: number;
  readonly slopeShare: number;
  readonly noise: number;
  readonly blurPx: number;
  /** How much a coated piece differs from the next [log H], one standard deviation. */
  readonly coatingSigmaLogH: number;
}

export interface RenderedBed {
  readonly pixels: Uint8Array;
  readonly corners: readonly Corners[];
  /** Light at each tablet's place against the strongest place of the bed [stops], coating left out. */
  readonly stops: readonly number[];
  readonly worstToBestStops: number;
  readonly withinTenthShare: number;
}

const piecesOfTube = 60;
const gridSide = 48;

/**
 * Irradiance at a place of the bed, in units of its own: each bit of a tube shines by the sine of its angle to the
 * tube.
 */
export function irradianceUnder(box: TubeBox, leftMm: number, backMm: number): number {
  const direct = (left: number, back: number): number =>
    box.tubes.reduce((sum, tube) => {
      const away2 = box.heightMm ** 2 + (back - tube.backMm) ** 2;
      let light = 0;
      for (let piece = 0; piece < piecesOfTube; piece++) {
        const along =
          (box.bedWidthMm - box.tubeLengthMm) / 2 + ((piece + 0.5) / piecesOfTube) * box.tubeLengthMm - left;
        const distance2 = away2 + along ** 2;
        light += (box.heightMm * Math.sqrt(away2)) / distance2 ** 2;
      }
      return sum + tube.output * light;
    }, 0);
  return direct(leftMm, backMm) + box.strayShare * direct(box.bedWidthMm / 2, box.bedHeightMm / 2);
}

export function renderBed(scene: BedScene): RenderedBed {
  const { box, print, widthPx: width, heightPx: height } = scene;
  const middleLight = irradianceUnder(box, box.bedWidthMm / 2, box.bedHeightMm / 2);
  const random = seededRandom(scene.seed * 19 + 3);
  const eye = cameraEye(seededRandom(scene.seed * 11 + 5));
  const placed = scene.pieces.map((piece, i) => {
    const own = scene.coatingSigmaLogH * random.normal();
    const steps = print.logH.length;
    // Each step got the light of its own place: the tablet lies along the bed's width, step 1 at the left.
    const logH = print.logH.map(
      (value, step) =>
        value +
        own +
        Math.log10(
          irradianceUnder(box, piece.leftMm + ((step + 1 - scene.placeStep) / steps) * print.lengthMm, piece.backMm) /
            middleLight,
        ),
    );
    const pose = poseOfPiece(piece, scene);
    return {
      surface: printSurface({ ...print, logH }, eye, scene.seed + i),
      toPrint: inverse(pose),
      corners: cornersOf(pose, print.lengthMm, print.widthMm),
    };
  });
  const pixels = developed(scene, filteredRows(seenRows(scene, placed), width, height, scene.blurPx));
  const grid = Array.from({ length: gridSide ** 2 }, (_, i) =>
    irradianceUnder(
      box,
      (((i % gridSide) + 0.5) / gridSide) * box.bedWidthMm,
      ((Math.floor(i / gridSide) + 0.5) / gridSide) * box.bedHeightMm,
    ),
  );
  const [best, worst] = [Math.max(...grid), Math.min(...grid)];
  return {
    pixels,
    corners: placed.map(({ corners }) => corners),
    stops: scene.pieces.map(({ leftMm, backMm }) => Math.log2(irradianceUnder(box, leftMm, backMm) / best)),
    worstToBestStops: Math.log2(best / worst),
    withinTenthShare: grid.filter((light) => Math.log2(light / best) >= -0.1).length / grid.length,
  };
}

/** Maps mm of a piece's tablet to pixels: seen square on, turned about its middle. */
function poseOfPiece({ at, turnedDegrees }: BedPiece, { print, pxPerMm }: BedScene): Matrix {
  const [c, s] = [pxPerMm * Math.cos(radians(turnedDegrees)), pxPerMm * Math.sin(radians(turnedDegrees))];
  const [x, y] = [print.lengthMm / 2, print.widthMm / 2];
  return [c, -s, at[0] - c * x + s * y, s, c, at[1] - s * x - c * y, 0, 0, 1];
}

function seenRows(
  scene: BedScene,
  placed: readonly { surface: PrintSurface; toPrint: Matrix }[],
): (y: number) => Float32Array {
  const { print, widthPx: width, heightPx: height } = scene;
  const [left, top, right, bottom] = print.sheetBorderMm;
  const row = new Float32Array(width * 3);
  return (y) => {
    for (let x = 0; x < width; x++) {
      const on =
        placed.find(({ toPrint }) => {
          const [xMm, yMm] = project(toPrint, x + 0.5, y + 0.5);
          return xMm > -left && yMm > -top && xMm < print.lengthMm + right && yMm < print.widthMm + bottom;
        }) ?? placed[0]!;
      const [xMm, yMm] = project(on.toPrint, x + 0.5, y + 0.5);
      on.surface.colourAt(xMm, yMm, row, x * 3);
      const [dx, dy] = [(x + 0.5) / width - 0.5, (y + 0.5) / height - 0.5];
      const light = 0.85 * (1 - scene.vignetteShare * 2 * (dx * dx + dy * dy)) * (1 + scene.slopeShare * dx);
      for (let channel = 0; channel < 3; channel++) row[x * 3 + channel]! *= light;
    }
    return row;
  };
}

/** Sensor noise and the sRGB tone curve (IEC 61966-2-1). */
function developed({ seed, widthPx, heightPx, noise }: BedScene, source: (y: number) => Float32Array): Uint8Array {
  const random = seededRandom(seed * 13 + 7);
  const normals = normalTable(random);
  const pixels = new Uint8Array(widthPx * heightPx * 3);
  let draw = random.whole(0, 65_535);
  for (let y = 0; y < heightPx; y++) {
    const linear = source(y);
    draw = (draw + Math.floor(random.next() * 65_536)) & 65_535;
    for (let index = 0; index < linear.length; index++) {
      draw = (draw + 1) & 65_535;
      const level = Math.min(1, Math.max(0, linear[index]! + noise * normals[draw]!));
      pixels[y * linear.length + index] = Math.round(
        255 * (level <= 0.0031308 ? 12.92 * level : 1.055 * level ** (1 / 2.4) - 0.055),
      );
    }
  }
  return pixels;
}
