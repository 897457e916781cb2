// Pictures that are small on the disk and large in memory, or take a decoder long.
import sharp from "sharp";

interface Bomb {
  readonly width: number;
  readonly height: number;
  readonly isWide?: boolean;
  readonly isInterlaced?: boolean;
}

const bombs: readonly Bomb[] = [
  // As many pixels as may be read, at 8 bits.
  { width: 10_900, height: 11_000 },
  // The same interlaced, which a decoder holds whole.
  { width: 10_900, height: 11_000, isInterlaced: true },
  { width: 9000, height: 9000, isWide: true },
  // Beyond the bounds of pixels and of sides.
  { width: 16_000, height: 16_000 },
  { width: 1, height: 100_000 },
  { width: 59_000, height: 1900 },
];

/** Flat pictures of each kind, as PNG files of a few hundred kilobytes. */
export async function pictureBombs(): Promise<Buffer[]> {
  const files: Buffer[] = [];
  for (const { width, height, isWide = false, isInterlaced = false } of bombs) {
    let picture = sharp({ create: { width, height, channels: 3, background: "#1f3d7a" }, limitInputPixels: false });
    if (isWide) picture = picture.toColourspace("rgb16");
    files.push(await picture.png({ progressive: isInterlaced, compressionLevel: 1 }).toBuffer());
  }
  return files;
}
