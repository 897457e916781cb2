// The colour of a print as a camera or scanner sees it, wavelength by wavelength: pigment on paper under daylight,
// through three sensitivities and a colour matrix, to linear sRGB. Density in red, green and blue are therefore
// related in a curved way, as on a real print. Everything here is an invented but plausible model.
import type { Random } from "./random.ts";

const wavelengthsNm = Array.from({ length: 31 }, (_, index) => 400 + 10 * index);

export interface Pigment {
  /** Centre of the absorption band [nm] and its width [1/cm]: broad, in the far red (process facts, from memory). */
  readonly peakNm: number;
  readonly widthPerCm: number;
  /** Neutral absorption beside the band, as a share of the peak. */
  readonly greyShare: number;
  /** Light returned by the surface without entering the coating, share of full reflection. */
  readonly surfaceReflectance: number;
  /** Yellow stain of unwashed iron, density at 400 nm. */
  readonly stainDensity: number;
  /** Reflectance of the bare paper at 550 nm and its warmth (loss at 400 nm). */
  readonly paperReflectance: number;
  readonly paperWarmth: number;
}

export interface Eye {
  /** Three rows (red, green, blue of linear sRGB) of weights for the wavelengths, each giving 1 for a perfect white. */
  readonly weights: readonly (readonly number[])[];
}

const lutMost = 4;
const lutEntries = 4096;

/** Linear sRGB for pigment amounts 0 to `lutMost`, three numbers each. */
export interface ColourTable {
  readonly rgb: Float32Array;
  indexOf(pigment: number): number;
}

export function colourTable(pigment: Pigment, eye: Eye): ColourTable {
  const rgb = new Float32Array(lutEntries * 3);
  for (let entry = 0; entry < lutEntries; entry++) {
    const colour = colourOf(printReflectances(pigment, (entry / (lutEntries - 1)) * lutMost), eye);
    rgb.set(colour, entry * 3);
  }
  const perUnit = (lutEntries - 1) / lutMost;
  return {
    rgb,
    indexOf: (amount) => Math.round(Math.min(lutMost, Math.max(0, amount)) * perUnit) * 3,
  };
}

/** Reflectance factor of a print at each wavelength. */
export function printReflectances(pigment: Pigment, amount: number): number[] {
  return wavelengthsNm.map((nm) => {
    const offset = (1e7 / nm - 1e7 / pigment.peakNm) / pigment.widthPerCm;
    const density =
      amount * (Math.exp(-4 * Math.LN2 * offset * offset) + pigment.greyShare) +
      pigment.stainDensity * Math.exp(-(nm - 400) / 60);
    const paper = pigment.paperReflectance - pigment.paperWarmth * Math.exp(-(nm - 400) / 50);
    return pigment.surfaceReflectance + (paper - pigment.surfaceReflectance) * 10 ** -density;
  });
}

/** Linear sRGB of a reflectance curve. */
export function colourOf(reflectances: readonly number[], eye: Eye): [number, number, number] {
  const [red, green, blue] = eye.weights.map((row) =>
    row.reduce((sum, weight, index) => sum + weight * reflectances[index]!, 0),
  );
  return [red!, green!, blue!];
}

/** Relative luminance of linear sRGB (IEC 61966-2-1). */
export function luminanceOf(red: number, green: number, blue: number): number {
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/**
 * A camera or scanner: three lobes of its own, and a matrix part of the way from none at all to the one that suits them
 * best to linear sRGB over smooth reflectances. Real devices stop short of the full matrix, which would put deep blues
 * outside the gamut.
 */
export function cameraEye(random: Random, matrixShare = random.between(0.2, 0.45)): Eye {
  const lobes = [
    { centreNm: random.between(596, 612), widthNm: random.between(32, 42) },
    { centreNm: random.between(528, 545), widthNm: random.between(36, 46) },
    { centreNm: random.between(450, 468), widthNm: random.between(24, 34) },
  ].map(({ centreNm, widthNm }) =>
    unit(wavelengthsNm.map((nm) => Math.exp(-0.5 * ((nm - centreNm) / widthNm) ** 2) * daylight(nm))),
  );
  const wanted = standardEye().weights;
  const training = trainingReflectances();
  const seen = training.map((reflectances) => lobes.map((lobe) => dot(lobe, reflectances)));
  const weights = wanted.map((row, channel) => {
    const target = training.map((reflectances) => dot(row, reflectances));
    const mix = leastSquares(seen, target);
    const corrected = unit(
      wavelengthsNm.map(
        (_, index) => mix[0]! * lobes[0]![index]! + mix[1]! * lobes[1]![index]! + mix[2]! * lobes[2]![index]!,
      ),
    );
    return corrected.map((weight, index) => matrixShare * weight + (1 - matrixShare) * lobes[channel]![index]!);
  });
  return { weights };
}

/**
 * The standard observer's linear sRGB under daylight, by the multi-lobe fit of the CIE 1931 curves (Wyman, Sloan,
 * Shirley 2013, from memory).
 */
function standardEye(): Eye {
  const lobe = (nm: number, centre: number, below: number, above: number): number =>
    Math.exp(-0.5 * ((nm - centre) * (nm < centre ? below : above)) ** 2);
  const xyz = wavelengthsNm.map((nm) => [
    1.056 * lobe(nm, 599.8, 0.0264, 0.0323) +
      0.362 * lobe(nm, 442, 0.0624, 0.0374) -
      0.065 * lobe(nm, 501.1, 0.049, 0.0382),
    0.821 * lobe(nm, 568.8, 0.0213, 0.0247) + 0.286 * lobe(nm, 530.9, 0.0613, 0.0322),
    1.217 * lobe(nm, 437, 0.0845, 0.0278) + 0.681 * lobe(nm, 459, 0.0385, 0.0725),
  ]);
  const toRgb = [
    [3.2406, -1.5372, -0.4986],
    [-0.9689, 1.8758, 0.0415],
    [0.0557, -0.204, 1.057],
  ];
  return {
    weights: toRgb.map((row) => unit(xyz.map((value, index) => dot(row, value) * daylight(wavelengthsNm[index]!)))),
  };
}

/** Rough daylight, relative to 560 nm. */
function daylight(nm: number): number {
  return 1 + 0.18 * Math.exp(-(((nm - 470) / 60) ** 2)) - 0.0011 * Math.max(0, nm - 560);
}

function unit(row: readonly number[]): number[] {
  const sum = row.reduce((total, value) => total + value, 0);
  return row.map((value) => value / sum);
}

function dot(left: readonly number[], right: readonly number[]): number {
  return left.reduce((sum, value, index) => sum + value * right[index]!, 0);
}

/** Smooth everyday colours: greys, ramps up and down, single humps. */
function trainingReflectances(): number[][] {
  const greys = [0.9, 0.4, 0.1].map((level) => wavelengthsNm.map(() => level));
  const ramps = [460, 500, 540, 580, 620].flatMap((edge) => [
    wavelengthsNm.map((nm) => 0.06 + 0.7 / (1 + Math.exp(-(nm - edge) / 18))),
    wavelengthsNm.map((nm) => 0.06 + 0.7 / (1 + Math.exp((nm - edge) / 18))),
  ]);
  const humps = [430, 470, 510, 550].map((centre) =>
    wavelengthsNm.map((nm) => 0.05 + 0.5 * Math.exp(-(((nm - centre) / 50) ** 2))),
  );
  return [...greys, ...ramps, ...humps];
}

/** Solves rows * x = target for three unknowns in the least-squares sense. */
function leastSquares(rows: readonly (readonly number[])[], target: readonly number[]): number[] {
  const system = [0, 1, 2].map((i) => [
    ...[0, 1, 2].map((j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)),
    rows.reduce((sum, row, k) => sum + row[i]! * target[k]!, 0),
  ]);
  for (let pivot = 0; pivot < 3; pivot++) {
    for (let row = 0; row < 3; row++) {
      if (row === pivot) continue;
      const factor = system[row]![pivot]! / system[pivot]![pivot]!;
      for (let column = pivot; column < 4; column++) system[row]![column]! -= factor * system[pivot]![column]!;
    }
  }
  return system.map((row, index) => row[3]! / row[index]!);
}
