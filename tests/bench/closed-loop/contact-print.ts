// Contact-prints a film file: film densities, lamp, brushed coating, grain. Gives red reflectance relative to bare
// paper.
import sharp from "sharp";
import { chance } from "./chance.ts";
import type { Studio } from "./studio.ts";

export interface Print {
  readonly width: number;
  readonly height: number;
  readonly pxPerMm: number;
  /** Red reflectance relative to bare paper, row by row. */
  readonly red: Float32Array;
}

export interface PrintFlaws {
  /** Smooth change of the coating from place to place, largest share. */
  readonly uneven: number;
  /** Brush streaks and grain, standard deviation as share of density. */
  readonly streaks: number;
  readonly grain: number;
  /** Lamp's fall from one side to the other, share. */
  readonly lampFall: number;
}

export const ordinaryFlaws: PrintFlaws = { uneven: 0.03, streaks: 0.012, grain: 0.02, lampFall: 0.06 };

/**
 * The print of a film file laid with its printed side on the coating.
 * @param cropMm part of the page that is coated, in page millimetres as the print is read; a ragged brushed edge lies
 *   outside it
 * @param laidWrong the other side of the film lies on the coating: the print reads mirrored
 */
export async function contactPrint({
  studio,
  png,
  seed,
  cropMm,
  laidWrong = false,
  flaws = ordinaryFlaws,
}: {
  studio: Studio;
  png: Uint8Array;
  seed: number;
  cropMm: { x: number; y: number; width: number; height: number };
  laidWrong?: boolean;
  flaws?: PrintFlaws;
}): Promise<Print> {
  const random = chance(seed * 13 + 5);
  const { data, info } = await filmFile(png, studio);
  const density = (await sharp(png).metadata()).density ?? 0;
  const pxPerMm = density / 25.4;
  const marginMm = 22;
  const width = Math.round((cropMm.width + 2 * marginMm) * pxPerMm);
  const height = Math.round((cropMm.height + 2 * marginMm) * pxPerMm);
  const table = Float32Array.from({ length: 4096 }, (_, i) => studio.printDensity(i / 1024 - 3.5));
  const base = studio.filmDensity[255] as number;
  const byColour = new Map<number, number>();
  const densityAt = (at: number): number => {
    if (studio.colourDensity === undefined) return studio.filmDensity[data[at] as number] as number;
    const colour = [data[at] as number, data[at + 1] as number, data[at + 2] as number] as const;
    const key = (colour[0] << 16) | (colour[1] << 8) | colour[2];
    const known = byColour.get(key) ?? studio.colourDensity(...colour);
    byColour.set(key, known);
    return known;
  };
  const red = new Float32Array(width * height);
  const bumps = Array.from({ length: 4 }, () => ({
    kx: random.between(-2, 2),
    ky: random.between(-2, 2),
    phase: random.between(0, 6.28),
    size: random.between(0.3, 1),
  }));
  const total = bumps.reduce((sum, bump) => sum + bump.size, 0);
  const angle = random.between(0, 6.28);
  const fall = [Math.cos(angle) * flaws.lampFall, Math.sin(angle) * flaws.lampFall] as const;
  const streakOf = Float32Array.from({ length: height + width }, () => random.normal(flaws.streaks));
  for (let i = 2; i < streakOf.length; i++)
    streakOf[i] = 0.8 * (streakOf[i - 1] as number) + 0.6 * (streakOf[i] as number);
  const edges = Array.from({ length: 8 }, () => random.between(0, 6.28));
  const edgeMm = random.between(3, 9);
  for (let y = 0; y < height; y++) {
    const v = (y / pxPerMm - marginMm) / cropMm.height;
    const sideMm =
      edgeMm + 1.2 * Math.sin(v * 17 + (edges[0] as number)) + 0.8 * Math.sin(v * 51 + (edges[1] as number));
    for (let x = 0; x < width; x++) {
      const u = (x / pxPerMm - marginMm) / cropMm.width;
      const endMm =
        edgeMm + 1.2 * Math.sin(u * 13 + (edges[2] as number)) + 0.8 * Math.sin(u * 47 + (edges[3] as number));
      const outsideMm = Math.max(
        Math.max(-u, u - 1) * cropMm.width - sideMm,
        Math.max(-v, v - 1) * cropMm.height - endMm,
      );
      if (outsideMm > 0) {
        red[y * width + x] = 1 + random.normal(0.004);
        continue;
      }
      const pageX = Math.round((u * cropMm.width + cropMm.x) * pxPerMm);
      const pageY = Math.round((v * cropMm.height + cropMm.y) * pxPerMm);
      const filmX = laidWrong ? pageX : info.width - 1 - pageX;
      const onFilm = filmX >= 0 && filmX < info.width && pageY >= 0 && pageY < info.height;
      const film = onFilm ? densityAt((pageY * info.width + filmX) * info.channels) - base : -base;
      const light = Math.log10(1 + fall[0] * (u - 0.5) + fall[1] * (v - 0.5));
      const index = Math.max(0, Math.min(4095, Math.round((light - film + 3.5) * 1024)));
      let smooth = 0;
      for (const bump of bumps) smooth += bump.size * Math.sin(bump.kx * u + bump.ky * v + bump.phase);
      const thickness =
        1 +
        (flaws.uneven * smooth) / total +
        (streakOf[Math.floor(y + 0.1 * x)] as number) +
        random.normal(flaws.grain);
      red[y * width + x] = 10 ** -(studio.stainDensity + (table[index] as number) * thickness);
    }
  }
  return { width, height, pxPerMm, red };
}

/** The file's numbers: grey, or RGB for a printer that knows its colours. */
function filmFile(png: Uint8Array, { colourDensity }: Studio) {
  const picture = colourDensity === undefined ? sharp(png).greyscale() : sharp(png).toColourspace("srgb").removeAlpha();
  return picture.raw().toBuffer({ resolveWithObject: true });
}
