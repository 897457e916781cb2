// Draws a plain picture of a printed strip with known densities, for tests that need a picture of their own.
import sharp from "sharp";
import { srgbFromLinear } from "#shared/density/srgb.ts";
import { homographyFromCorners, inverseHomography } from "#shared/reading/corners/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";

export interface StripPicture {
  readonly width: number;
  readonly height: number;
  /** Strip area, step 1 at the first corner's end. */
  readonly corners: Corners;
  /** Red density of every step above paper; green and blue follow as in a blue print. */
  readonly densities: readonly number[];
  /** Linear light of bare paper. Default 0.8, 0.78, 0.74. */
  readonly paper?: readonly [number, number, number];
  /** Factor of the light at a place (shares of width and height). */
  readonly light?: (x: number, y: number) => number;
  /** Density of what lies at a place outside the strip, paper when 0 or absent. */
  readonly around?: (u: number, v: number) => readonly [number, number, number];
  /** Density of a thing lying over strip and paper at a place, null where there is none. */
  readonly over?: (u: number, v: number) => readonly [number, number, number] | null;
  /**
   * Standard deviation of each pixel's light as a share: once for all channels together (grain), once for each alone
   * (sensor).
   */
  readonly grain?: number;
  readonly seed?: number;
}

/** Corners of a level strip in a picture of 790 x 260 pixels. */
export const levelCorners: Corners = [
  [80, 80],
  [710, 80],
  [710, 180],
  [80, 180],
];

/** Green and blue density of the print for one unit of red density. Invented for these tests. */
export const blueprint = [1, 0.42, 0.16] as const;

/** Deterministic noise, evenly spread with mean 0 and standard deviation 1. */
export function noiseFrom(seed: number): () => number {
  let state = (seed * 2_654_435_761 + 12_345) >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state / 2 ** 32 - 0.5) * Math.sqrt(12);
  };
}

const isShare = (value: number): boolean => value >= 0 && value < 1;

/** Linear RGB of the picture, row by row. */
export function stripLight(picture: StripPicture): Float32Array {
  const {
    width,
    height,
    corners,
    densities,
    paper = [0.8, 0.78, 0.74],
    light = () => 1,
    around = () => [0, 0, 0],
    over = () => null,
    grain = 0,
    seed = 1,
  } = picture;
  const toStrip = inverseHomography(homographyFromCorners(corners));
  const noise = noiseFrom(seed);
  const out = new Float32Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const w = toStrip[6] * (x + 0.5) + toStrip[7] * (y + 0.5) + toStrip[8];
      const u = (toStrip[0] * (x + 0.5) + toStrip[1] * (y + 0.5) + toStrip[2]) / w;
      const v = (toStrip[3] * (x + 0.5) + toStrip[4] * (y + 0.5) + toStrip[5]) / w;
      const inside = isShare(u) && isShare(v);
      const density = inside ? densities[Math.floor(u * densities.length)]! : 0;
      const d = over(u, v) ?? (inside ? blueprint.map((k) => k * density) : around(u, v));
      const factor = light(x / width, y / height) * (1 + grain * noise());
      for (let c = 0; c < 3; c++)
        out[(y * width + x) * 3 + c] = paper[c]! * factor * (1 + grain * noise()) * 10 ** -d[c]!;
    }
  }
  return out;
}

/** Standard deviation of sensor noise in codes of 8 bits. */
const sensorNoiseCodes = 1;

/** Codes of the picture under an encoding (sRGB unless given), with a little noise as a sensor has. */
export function codesOf(
  light: Float32Array,
  bits: 8 | 16,
  encode: (linear: number) => number = srgbFromLinear,
  seed = 7,
): Uint8Array | Uint16Array {
  const top = bits === 8 ? 255 : 65_535;
  const noise = noiseFrom(seed);
  const codes = bits === 8 ? new Uint8Array(light.length) : new Uint16Array(light.length);
  for (let i = 0; i < light.length; i++)
    codes[i] = Math.min(
      top,
      Math.max(0, Math.round(encode(Math.max(0, light[i]!)) * top + sensorNoiseCodes * noise())),
    );
  return codes;
}

/** The picture as a file. */
export async function stripFile(
  picture: StripPicture,
  format: "png" | "jpeg" | "tiff" | "webp" = "png",
  bits: 8 | 16 = 8,
): Promise<Buffer> {
  const raw = { width: picture.width, height: picture.height, channels: 3 as const };
  const codes = codesOf(stripLight(picture), bits);
  const image = sharp(codes, { raw });
  if (format === "jpeg") return image.jpeg({ quality: 95, chromaSubsampling: "4:2:0" }).toBuffer();
  if (format === "webp") return image.webp({ lossless: true }).toBuffer();
  const deep = bits === 16 ? image.toColourspace("rgb16") : image;
  return format === "tiff"
    ? deep.tiff({ compression: "deflate" }).toBuffer()
    : deep.png({ compressionLevel: 1 }).toBuffer();
}

/** Densities of a 21-step print with a toe and a shoulder, darkest first. Invented for these tests. */
export const blueprintDensities = Array.from({ length: 21 }, (_, i) => 1.45 / (1 + Math.exp(4.2 * (i * 0.15 - 1.35))));
