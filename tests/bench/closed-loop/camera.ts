// Photographs a print: tilt, rotation, uneven light, vignetting, blur, noise, table and clutter, sRGB JPEG.
import sharp from "sharp";
import { chance } from "./chance.ts";
import type { Print } from "./contact-print.ts";
import { blueFromRedDensity } from "./studio.ts";

export interface Photo {
  readonly jpeg: Uint8Array;
  readonly width: number;
  readonly height: number;
  /** Where a place of the print [mm from its left upper corner] lies in the photo [px]. */
  readonly placeOf: (xMm: number, yMm: number) => [number, number];
}

export interface CameraHabits {
  readonly seed: number;
  readonly cloth?: boolean;
  /** Largest tilt in degrees. */
  readonly tilt?: number;
  readonly longSidePx?: number;
}

/** Linear colours by red reflectance, 0 to 1.25 in steps of 1/1024: one table for each channel. */
const colourTables = [0, 1, 2].map((k) =>
  Float32Array.from({ length: 1281 }, (_, i) => blueFromRedDensity(-Math.log10(Math.max(i / 1024, 0.002)))[k as 0]),
) as [Float32Array, Float32Array, Float32Array];
const encodeTable = Uint8Array.from({ length: 4097 }, (_, i) => {
  const value = i / 4096;
  return Math.round(255 * (value <= 0.0031308 ? 12.92 * value : 1.055 * value ** (1 / 2.4) - 0.055));
});

/** One photo of a print, everything about the camera drawn from the seed. */
export async function photograph(
  print: Print,
  { seed, cloth = false, tilt = 18, longSidePx }: CameraHabits,
): Promise<Photo> {
  const random = chance(seed * 31 + 7);
  const long = longSidePx ?? Math.round(random.between(2000, 3200));
  const short = Math.round(long * 0.75);
  const [width, height] = random.happens(0.5) ? [long, short] : [short, long];
  const widthMm = print.width / print.pxPerMm;
  const heightMm = print.height / print.pxPerMm;
  const spin = (random.oneOf([0, 90, 180, 270]) + random.normal(5)) * (Math.PI / 180);
  const leanX = random.between(-tilt, tilt) * (Math.PI / 180);
  const leanY = random.between(-tilt, tilt) * (Math.PI / 180) * 0.7;
  const far = 2.6 * Math.hypot(widthMm, heightMm) * 0.5;
  const project = (xMm: number, yMm: number): [number, number] => {
    const x0 = xMm - widthMm / 2;
    const y0 = yMm - heightMm / 2;
    const x1 = x0 * Math.cos(spin) - y0 * Math.sin(spin);
    const y1 = x0 * Math.sin(spin) + y0 * Math.cos(spin);
    const depth = far + x1 * Math.sin(leanX) + y1 * Math.sin(leanY);
    return [(x1 * Math.cos(leanX)) / depth, (y1 * Math.cos(leanY)) / depth];
  };
  const outline = [project(0, 0), project(widthMm, 0), project(widthMm, heightMm), project(0, heightMm)];
  const span = (k: 0 | 1): [number, number] => [
    Math.min(...outline.map((p) => p[k])),
    Math.max(...outline.map((p) => p[k])),
  ];
  const [[left, right], [top, bottom]] = [span(0), span(1)];
  const scale = Math.min(width / (right - left), height / (bottom - top)) * random.between(0.82, 1.04);
  const shift = [
    width / 2 - (scale * (left + right)) / 2 + random.normal(width * 0.01),
    height / 2 - (scale * (top + bottom)) / 2 + random.normal(height * 0.01),
  ] as const;
  const toPx = (xMm: number, yMm: number): [number, number] => {
    const [x, y] = project(xMm, yMm);
    return [scale * x + shift[0], scale * y + shift[1]];
  };
  const corners = [toPx(0, 0), toPx(widthMm, 0), toPx(widthMm, heightMm), toPx(0, heightMm)];
  const back = mapToUnitSquare(corners);

  const exposure = random.between(0.68, 0.86);
  const lightAngle = random.between(0, 6.28);
  const lightFall = random.between(0.02, 0.3);
  const vignette = random.between(0.02, 0.16);
  const paperTint = [1, random.between(0.975, 1), random.between(0.92, 0.98)] as const;
  const table = [random.between(0.05, 0.5), random.between(0.05, 0.4), random.between(0.03, 0.35)] as const;
  const wave = cloth
    ? [random.between(0.2, 0.9), random.between(0.2, 0.9), random.between(0, 6.28), random.between(0, 6.28)]
    : [0, 0, 0, 0];
  const weaveMm = random.between(0.35, 0.6);
  const red = new Float32Array(width * height);
  const green = new Float32Array(width * height);
  const blue = new Float32Array(width * height);
  const [redOf, greenOf, blueOf] = colourTables;
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = back as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const [w0, w1, w2, w3] = wave as [number, number, number, number];
  const lightX = Math.cos(lightAngle);
  const lightY = Math.sin(lightAngle);
  const from = print.red;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const w = m6 * x + m7 * y + m8;
      let u = (m0 * x + m1 * y + m2) / w;
      let v = (m3 * x + m4 * y + m5) / w;
      const dx = x / width - 0.5;
      const dy = y / height - 0.5;
      const light =
        exposure * (1 - lightFall * (0.5 + dx * lightX + dy * lightY)) * (1 - vignette * 2 * (dx * dx + dy * dy));
      const at = y * width + x;
      if (u > 0 && v > 0 && u < 1 && v < 1) {
        let weave = 1;
        if (cloth) {
          const du = (w0 * Math.sin(8.2 * v + w2)) / widthMm;
          v += (w1 * Math.sin(6.6 * u + w3)) / heightMm;
          u += du;
          weave = 1 + 0.07 * Math.sin((6.283 * u * widthMm) / weaveMm) * Math.sin((6.283 * v * heightMm) / weaveMm);
        }
        const px = Math.min(print.width - 1.001, Math.max(0, u * print.width - 0.5));
        const py = Math.min(print.height - 1.001, Math.max(0, v * print.height - 0.5));
        const ix = Math.floor(px);
        const iy = Math.floor(py);
        const fx = px - ix;
        const fy = py - iy;
        const o = iy * print.width + ix;
        const r =
          weave *
          ((from[o]! * (1 - fx) + from[o + 1]! * fx) * (1 - fy) +
            (from[o + print.width]! * (1 - fx) + from[o + print.width + 1]! * fx) * fy);
        const index = Math.min(1280, Math.round(r * 1024));
        red[at] = redOf[index]! * light * paperTint[0];
        green[at] = greenOf[index]! * light * paperTint[1];
        blue[at] = blueOf[index]! * light * paperTint[2];
      } else {
        const streak = light * (1 + 0.2 * Math.sin(x * 0.05 + 3 * Math.sin(y * 0.004)) + 0.1 * Math.sin(y * 0.31));
        red[at] = table[0] * streak;
        green[at] = table[1] * streak;
        blue[at] = table[2] * streak;
      }
    }
  }
  const jpeg = await developed([red, green, blue], { width, height, random });
  return { jpeg, width, height, placeOf: toPx };
}

/** The light on the sensor as a JPEG file: blurred by the lens, grained, coded. */
async function developed(
  planes: readonly Float32Array[],
  { width, height, random }: { width: number; height: number; random: ReturnType<typeof chance> },
): Promise<Buffer> {
  const blur = random.between(0.5, 1.1);
  const noise = random.between(0.002, 0.008);
  const grains = Float32Array.from({ length: 65_536 }, () => random.normal(noise));
  const codes = new Uint8Array(width * height * 3);
  let state = Math.floor(random.between(1, 1e9));
  for (const [k, plane] of planes.entries()) {
    const soft = blurred(plane, width, height, blur);
    for (let i = 0; i < soft.length; i++) {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
      const value = soft[i]! + grains[state >>> 16]! * Math.sqrt(Math.max(0.02, soft[i]!));
      codes[i * 3 + k] = encodeTable[Math.max(0, Math.min(4096, Math.round(value * 4096)))]!;
    }
  }
  return sharp(codes, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: Math.round(random.between(82, 96)), chromaSubsampling: random.happens(0.6) ? "4:2:0" : "4:4:4" })
    .toBuffer();
}

/** Blur with weights of a normal curve, rows then columns; the outermost two pixels stay as they are. */
function blurred(plane: Float32Array, width: number, height: number, sigma: number): Float32Array {
  const weights = [0, 1, 2].map((i) => Math.exp((-i * i) / (2 * sigma * sigma))) as [number, number, number];
  const total = weights[0] + 2 * (weights[1] + weights[2]);
  const [w0, w1, w2] = [weights[0] / total, weights[1] / total, weights[2] / total];
  const across = plane.slice();
  for (let y = 0; y < height; y++) {
    for (let o = y * width + 2; o < (y + 1) * width - 2; o++)
      across[o] = w0 * plane[o]! + w1 * (plane[o - 1]! + plane[o + 1]!) + w2 * (plane[o - 2]! + plane[o + 2]!);
  }
  const down = across.slice();
  for (let o = 2 * width; o < (height - 2) * width; o++)
    down[o] =
      w0 * across[o]! +
      w1 * (across[o - width]! + across[o + width]!) +
      w2 * (across[o - 2 * width]! + across[o + 2 * width]!);
  return down;
}

/** Photo pixels to the unit square, as nine numbers row by row (adjugate of the square-to-quadrilateral map). */
function mapToUnitSquare(corners: readonly (readonly [number, number])[]): number[] {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners as [
    [number, number],
    [number, number],
    [number, number],
    [number, number],
  ];
  const sx = x0 - x1 + x2 - x3;
  const sy = y0 - y1 + y2 - y3;
  const d = (x1 - x2) * (y3 - y2) - (x3 - x2) * (y1 - y2);
  const g = (sx * (y3 - y2) - (x3 - x2) * sy) / d;
  const h = ((x1 - x2) * sy - sx * (y1 - y2)) / d;
  const [a, b, c, e, f, i] = [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0];
  return [
    f - i * h,
    c * h - b,
    b * i - c * f,
    i * g - e,
    a - c * g,
    c * e - a * i,
    e * h - f * g,
    b * g - a * h,
    a * f - b * e,
  ];
}
