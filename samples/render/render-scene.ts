// From a scene to pixels and truth. The same scene gives the same numbers on every machine.
import type { Corners } from "#shared/schema/reading.ts";
import { cameraEye } from "./colour.ts";
import { bentPoint, straightPoint } from "./lens.ts";
import { lightField } from "./light.ts";
import { inverse, poseOf, project, type Matrix } from "./pose.ts";
import { printSurface, type PrintSurface } from "./print-surface.ts";
import { normalTable, seededRandom } from "./random.ts";
import { filteredRows, type RowSource } from "./row-filter.ts";
import type { Camera, Scene, Shadow, Truth } from "./scene.ts";
import { isCovered, paintThing, placeThings, type PlacedThing } from "./things.ts";
import { truthOf } from "./truth.ts";

export interface RenderedScene {
  readonly scene: Scene;
  /** Upright, interleaved RGB, encoded; 8-bit values in a Uint8Array or 16-bit values in a Uint16Array. */
  readonly pixels: Uint8Array | Uint16Array;
  readonly width: number;
  readonly height: number;
  readonly truth: Truth;
}

/** The truth of a scene without its pixels. */
export function sceneTruth(scene: Scene): Truth {
  const { surface, pose, placed, corners } = stage(scene);
  return truthOf(scene, surface, pose, corners, placed);
}

function stage(scene: Scene): { surface: PrintSurface; pose: Matrix; placed: PlacedThing[]; corners: Corners } {
  const { camera, print } = scene;
  const surface = printSurface(print, cameraEye(seededRandom(scene.seed * 11 + 5)), scene.seed);
  const pose = poseOf(camera, print.lengthMm, print.widthMm);
  return {
    surface,
    pose,
    placed: placeThings(scene.things, pose),
    corners: bentCorners(camera, cornersOf(pose, print.lengthMm, print.widthMm)),
  };
}

/** Renders a scene. About a third of a microsecond for each pixel. */
export function renderScene(scene: Scene): RenderedScene {
  const { camera } = scene;
  const { widthPx: width, heightPx: height } = camera;
  const { surface, pose, placed, corners } = stage(scene);
  const toPrint = inverse(pose);

  const seen = seenRows(scene, surface, toPrint, placed);
  const softened = filteredRows(seen, width, height, camera.blurPx);
  const developed = developedRows(scene, softened, meanOf(scene, surface, toPrint, placed));
  const sharpened =
    camera.sharpenAmount > 0
      ? filteredRows(developed, width, height, camera.sharpenPx, camera.sharpenAmount)
      : developed;

  const most = scene.file.bits === 16 ? 65_535 : 255;
  const pixels = scene.file.bits === 16 ? new Uint16Array(width * height * 3) : new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    const row = sharpened(y);
    const from = y * width * 3;
    for (let index = 0; index < row.length; index++) {
      pixels[from + index] = within(row[index]! * most + 0.5, most);
    }
  }
  return { scene, pixels, width, height, truth: truthOf(scene, surface, pose, corners, placed) };
}

/** A value held between 0 and the most. Comparisons, since this runs for every number of the picture. */
function within(value: number, most: number): number {
  if (value < 0) return 0;
  return value > most ? most : value;
}

function bentCorners(camera: Camera, [a, b, c, d]: Corners): Corners {
  return [bentPoint(camera, a), bentPoint(camera, b), bentPoint(camera, c), bentPoint(camera, d)];
}

export function cornersOf(pose: Matrix, lengthMm: number, widthMm: number): Corners {
  return [project(pose, 0, 0), project(pose, lengthMm, 0), project(pose, lengthMm, widthMm), project(pose, 0, widthMm)];
}

/** Linear light at each pixel's middle, before lens and sensor. */
function seenRows(scene: Scene, surface: PrintSurface, toPrint: Matrix, placed: readonly PlacedThing[]): RowSource {
  const { camera, print } = scene;
  const width = camera.widthPx;
  const row = new Float32Array(width * 3);
  const light = new Float32Array(width);
  const side = Math.max(
    print.lengthMm + print.sheetBorderMm[0] + print.sheetBorderMm[2],
    print.widthMm + print.sheetBorderMm[1] + print.sheetBorderMm[3],
  );
  const field = lightField(camera, toPrint, { centre: [print.lengthMm / 2, print.widthMm / 2], side });
  const gains = camera.gains.map((gain) => gain * camera.whiteLevel);
  // How far the lens may move a thing's box.
  const bendPx = Math.ceil(Math.abs(camera.lensBend ?? 0) * Math.hypot(width, camera.heightPx));
  return (y) => {
    const yMiddle = y + 0.5;
    field.row(yMiddle, light);
    for (let x = 0; x < width; x++) {
      const [xMiddle, yStraight] = straightPoint(camera, [x + 0.5, yMiddle]);
      const w = toPrint[6] * xMiddle + toPrint[7] * yStraight + toPrint[8];
      const xMm = (toPrint[0] * xMiddle + toPrint[1] * yStraight + toPrint[2]) / w;
      const yMm = (toPrint[3] * xMiddle + toPrint[4] * yStraight + toPrint[5]) / w;
      surface.colourAt(xMm, yMm, row, x * 3);
      if (camera.shadow !== undefined) light[x]! *= shade(camera.shadow, xMm, yMm);
    }
    for (const item of placed) {
      if (y < item.top - bendPx || y > item.bottom + bendPx) continue;
      for (let x = Math.max(0, item.left - bendPx); x <= Math.min(width - 1, item.right + bendPx); x++) {
        const [xMm, yMm] = project(toPrint, ...straightPoint(camera, [x + 0.5, yMiddle]));
        if (isCovered(item, xMm, yMm)) paintThing(item, xMm, yMm, row, x * 3);
      }
    }
    for (let x = 0; x < width; x++) {
      const level = light[x]!;
      row[x * 3]! *= level * gains[0]!;
      row[x * 3 + 1]! *= level * gains[1]!;
      row[x * 3 + 2]! *= level * gains[2]!;
    }
    return row;
  };
}

/** Share of the light that a shadow leaves at a place. */
function shade({ atMm, turnedDegrees, softMm, light }: Shadow, xMm: number, yMm: number): number {
  const turn = (turnedDegrees * Math.PI) / 180;
  const across = (xMm - atMm[0]) * Math.cos(turn) + (yMm - atMm[1]) * Math.sin(turn);
  return light + (1 - light) / (1 + Math.exp(Math.min(40, Math.max(-40, (4 * across) / softMm))));
}

/** Mean linear level of the picture, for flare, from a coarse look. */
function meanOf(
  scene: Scene,
  surface: PrintSurface,
  toPrint: Matrix,
  placed: readonly PlacedThing[],
): [number, number, number] {
  const { camera } = scene;
  const colour = new Float32Array(3);
  const sum = [0, 0, 0];
  const side = 48;
  for (let row = 0; row < side; row++) {
    for (let column = 0; column < side; column++) {
      const [xMm, yMm] = project(
        toPrint,
        ((column + 0.5) / side) * camera.widthPx,
        ((row + 0.5) / side) * camera.heightPx,
      );
      surface.colourAt(xMm, yMm, colour, 0, true);
      for (const item of placed) if (isCovered(item, xMm, yMm)) paintThing(item, xMm, yMm, colour, 0);
      for (let channel = 0; channel < 3; channel++)
        sum[channel]! += colour[channel]! * camera.gains[channel]! * camera.whiteLevel;
    }
  }
  return [sum[0]! / side ** 2, sum[1]! / side ** 2, sum[2]! / side ** 2];
}

const encodingEntries = 16_384;

/** Sensor noise, flare and the device's tone curve: encoded values 0 to 1. */
function developedRows(scene: Scene, source: RowSource, mean: readonly [number, number, number]): RowSource {
  const { camera } = scene;
  const random = seededRandom(scene.seed * 13 + 7);
  const normals = normalTable(random);
  const flare = mean.map((level) => level * camera.flareShare);
  const keep = 1 - camera.flareShare;
  const encoded = Float32Array.from({ length: encodingEntries + 2 }, (_, index) =>
    toneOf(camera.toneBend, index / encodingEntries),
  );
  const row = new Float32Array(camera.widthPx * 3);
  const read2 = camera.readNoise ** 2;
  const shot2 = camera.shotNoise ** 2;
  let draw = random.whole(0, 65_535);
  return (y) => {
    const linear = source(y);
    draw = (draw + Math.floor(random.next() * 65_536)) & 65_535;
    for (let index = 0; index < row.length; index++) {
      const level = linear[index]! * keep + flare[index % 3]!;
      draw = (draw + 1) & 65_535;
      const noisy = level + normals[draw]! * Math.sqrt(read2 + shot2 * (level < 0 ? 0 : level));
      const position = within(noisy, 1) * encodingEntries;
      const below = position | 0;
      row[index] = encoded[below]! + (encoded[below + 1]! - encoded[below]!) * (position - below);
    }
    return row;
  };
}

/** Encoded value of a linear level: sRGB (IEC 61966-2-1), bent into an S by the device where it does so. */
function toneOf(bend: number, linear: number): number {
  const level = Math.min(1, linear);
  const code = level <= 0.0031308 ? 12.92 * level : 1.055 * level ** (1 / 2.4) - 0.055;
  return code - (bend * Math.sin(2 * Math.PI * code)) / (2 * Math.PI);
}
