// An invented studio: a film printer, a coating, a lamp. Shapes are deliberately not those that the program fits.
import { chance, type Chance } from "./chance.ts";

export interface Studio {
  readonly seed: number;
  /** Density of the film under the lamp for each pixel value of the file (0 = full ink, 255 = clear). */
  readonly filmDensity: readonly number[];
  /** Density of the film for colours sent, where the printer is sent RGB. */
  readonly colourDensity?: (red: number, green: number, blue: number) => number;
  /** Net red density of the print for log10 of exposure relative to the exposure behind clear film. */
  readonly printDensity: (logH: number) => number;
  /** Of the print: its stain (red density of the lightest print above bare paper). */
  readonly stainDensity: number;
  readonly cloth: boolean;
}

/** How the densest ink suits the coating, as multiples of the coating's range. */
const filmFits = { thin: [0.35, 0.85], fitting: [1.05, 1.7], dense: [1.9, 2.6] } as const;
export type FilmFit = keyof typeof filmFits;

/** A studio whose device, film and coating are drawn at random from the seed. */
export function inventStudio(seed: number, cloth = false, fit: FilmFit = "fitting"): Studio {
  const random = chance(seed * 7 + 1);
  const coating = inventCoating(random, cloth);
  const filmDensity = inventFilm(random, coating.range, filmFits[fit]);
  return { seed, filmDensity, printDensity: coating.density, stainDensity: cloth ? 0.03 : 0.015, cloth };
}

/**
 * Ink spread, an ink limit and a wavy residue, as desktop printers have; densest black within multiples of the
 * coating's range.
 */
function inventFilm(random: Chance, range: number, [least, greatest]: readonly [number, number]): number[] {
  const base = random.between(0.04, 0.14);
  const most = range * random.between(least, greatest);
  const spread = random.between(0.65, 1.5);
  const limit = random.between(0.2, 2.2);
  const wave = random.between(-0.035, 0.035);
  const phase = random.between(0, Math.PI);
  return Array.from({ length: 256 }, (_, pixel) => {
    const ink = 1 - pixel / 255;
    const saturating = (1 - Math.exp(-limit * ink ** spread)) / (1 - Math.exp(-limit));
    return base + most * Math.max(0, saturating + wave * ink * (1 - ink) * 4 * Math.sin(2 * Math.PI * ink + phase));
  });
}

/**
 * Net density against log exposure: a cumulative Weibull curve raised to a power, exposed so that clear film reaches 88
 * to 96 % of it.
 */
function inventCoating(random: Chance, cloth: boolean): { density: (logH: number) => number; range: number } {
  const most = random.between(1.1, 1.55) - (cloth ? 0.25 : 0);
  const steepness = random.between(0.95, 1.5);
  const power = random.between(0.85, 1.5);
  const share = random.between(0.88, 0.96);
  const exposureAt = (part: number): number => Math.log10(-Math.log(1 - part ** (1 / power))) / steepness;
  const offset = exposureAt(share);
  return {
    density: (logH) => most * (1 - Math.exp(-(10 ** ((logH + offset) * steepness)))) ** power,
    range: offset - exposureAt(0.02),
  };
}

/** Red density of the print, above bare paper, of a pixel of the file on an ideally even coating. */
export function evenPrintDensity(studio: Studio, pixel: number): number {
  const low = Math.floor(pixel);
  const a = studio.filmDensity[low] as number;
  const b = studio.filmDensity[Math.min(255, low + 1)] as number;
  const base = studio.filmDensity[255] as number;
  return studio.stainDensity + studio.printDensity(base - (a + (pixel - low) * (b - a)));
}

/**
 * Linear red, green, blue of the print relative to its paper: a blue whose green and blue absorb less than
 * proportionally.
 */
export function blueFromRedDensity(redDensity: number): [number, number, number] {
  const d = Math.max(0, redDensity);
  return [10 ** -redDensity, 10 ** -(0.66 * d - 0.06 * d * d), 10 ** -(0.26 * d)];
}

/** L* of a print relative to its paper. */
export function lightnessOfPrint(redDensity: number): number {
  const [r, g, b] = blueFromRedDensity(redDensity);
  const y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  return y > (6 / 29) ** 3 ? 116 * Math.cbrt(y) - 16 : y * (29 / 3) ** 3;
}
