// Random textures with a correlation length: coating clouds, brush streaks, paper tooth.
import type { Random } from "./random.ts";

/** Value of a texture at a place on the print [mm]; mean 0, standard deviation 1, repeating far away. */
export type Texture = (xMm: number, yMm: number) => number;

const tileSide = 256;
const tileMask = tileSide - 1;

/** Smooth noise whose neighbours within about `lengthXMm` by `lengthYMm` resemble each other. */
export function smoothTexture(random: Random, lengthXMm: number, lengthYMm = lengthXMm): Texture {
  const tile = smoothTile(random);
  const perXMm = 1.5 / lengthXMm;
  const perYMm = 1.5 / lengthYMm;
  const offsetX = random.between(0, tileSide);
  const offsetY = random.between(0, tileSide);
  return (xMm, yMm) => {
    const x = xMm * perXMm + offsetX;
    const y = yMm * perYMm + offsetY;
    const column = Math.floor(x);
    const row = Math.floor(y);
    const shareX = x - column;
    const shareY = y - row;
    const left = column & tileMask;
    const right = (column + 1) & tileMask;
    const upper = (row & tileMask) * tileSide;
    const lower = ((row + 1) & tileMask) * tileSide;
    const above = tile[upper + left]! * (1 - shareX) + tile[upper + right]! * shareX;
    const below = tile[lower + left]! * (1 - shareX) + tile[lower + right]! * shareX;
    return above * (1 - shareY) + below * shareY;
  };
}

function smoothTile(random: Random): Float32Array {
  const white = Float32Array.from({ length: tileSide * tileSide }, () => random.normal());
  const smooth = new Float32Array(white.length);
  const weights = [0.25, 0.5, 0.25];
  let squares = 0;
  for (let y = 0; y < tileSide; y++) {
    for (let x = 0; x < tileSide; x++) {
      let sum = 0;
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          sum += weights[dy + 1]! * weights[dx + 1]! * white[((y + dy) & tileMask) * tileSide + ((x + dx) & tileMask)]!;
        }
      }
      smooth[y * tileSide + x] = sum;
      squares += sum * sum;
    }
  }
  // Interpolating between cells takes about a third off the deviation; 1.5 puts it back (measured).
  const scale = 1.5 / Math.sqrt(squares / smooth.length) / 1.12;
  for (let index = 0; index < smooth.length; index++) smooth[index]! *= scale;
  return smooth;
}
