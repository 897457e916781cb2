// Prints of one pigment as cameras and scanners may see them: iron blue's absorption band on paper, through red, green
// and blue channels and a colour matrix, each drawn within what is usual. Bands and channels are invented; their ranges
// are from memory (iron blue: a broad band at 14,000 to 14,500 1/cm, 5,800 to 6,900 wide; papers' surfaces return
// 0.5 to 1.2 %).
import { leastSquaresSolution } from "#shared/statistics/linear-least-squares.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

const wavelengthsNm = Array.from({ length: 61 }, (_, i) => 400 + 5 * i);
const bell = (x: number, middle: number, width: number) => Math.exp(-0.5 * ((x - middle) / width) ** 2);
const perCm = (nm: number) => 1e7 / nm;
/** Sigma of a bell as a share of its full width at half height. */
const sigmaOfWidth = 1 / Math.sqrt(8 * Math.LN2);

export type DensitiesOf = (amount: number) => readonly [number, number, number];

/**
 * Densities above paper in red, green and blue of a drawn print under a drawn camera, by the amount of pigment.
 * @param channelsAre what the camera or scanner sees through
 */
export function drawnPrint(seed: number, channelsAre: ChannelKind): DensitiesOf {
  const random = seededRandom(seed);
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const band = { middle: between(14_000, 14_500), sigma: sigmaOfWidth * between(5800, 6900) };
  const grey = between(0.04, 0.12);
  const surface = between(0.005, 0.012);
  const warmth = between(0, 0.15);
  const channels = drawnChannels(random, channelsAre);
  const lightOf = (amount: number) =>
    channels.map((weights) =>
      wavelengthsNm.reduce((sum, nm, i) => {
        const paper = 0.88 - warmth * Math.exp(-(nm - 400) / 60);
        const density = amount * (bell(perCm(nm), band.middle, band.sigma) + grey);
        return sum + weights[i]! * (surface + (paper - surface) * 10 ** -density);
      }, 0),
    );
  const paper = lightOf(0);
  return (amount) => {
    const [red, green, blue] = lightOf(amount).map((light, c) => -Math.log10(Math.max(light, 1e-4) / paper[c]!));
    return [red!, green!, blue!];
  };
}

/**
 * Broad ones of cameras, and three narrow lights: scanners have diodes, and some profiles take a camera's channels
 * sharply apart.
 */
export type ChannelKind = "broad" | "narrow";
/** Sigma of a narrow lobe. Source: from memory (diodes are 20 to 35 nm wide at half height). */
const narrowLobeNm = { least: 8, most: 16 } as const;

/** Weights of the wavelengths for each channel: lobes, of which a matrix takes some of the others out. */
function drawnChannels(random: Random, kind: ChannelKind): number[][] {
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const lobes = (
    [
      [594, 614, 32, 43],
      [527, 546, 35, 46],
      [449, 469, 24, 34],
    ] as const
  ).map(([from, to, narrow, wide]) => {
    const [least, most] = kind === "narrow" ? [narrowLobeNm.least, narrowLobeNm.most] : [narrow, wide];
    const [middle, width] = [between(from, to), between(least, most)];
    const weights = wavelengthsNm.map((nm) => bell(nm, middle, width));
    const sum = weights.reduce((total, weight) => total + weight, 0);
    return weights.map((weight) => weight / sum);
  });
  const strength = between(0, 0.4);
  const matrix = [
    [1 + 0.5 * strength, -0.5 * strength, 0],
    [-0.15 * strength, 1 + 0.4 * strength, -0.25 * strength],
    [0, -0.25 * strength, 1 + 0.25 * strength],
  ];
  return matrix.map((row) =>
    wavelengthsNm.map((_, i) => row.reduce((sum, share, c) => sum + share * lobes[c]![i]!, 0)),
  );
}

/** Red densities between which proportions are fitted. */
const fitted = { least: 0.08, most: 1.5 } as const;
const amountStep = 0.05;
const mostAmount = 4;

/** Terms of green's, then of blue's density as a share of red: constant, linear, quadratic, by least squares. */
export function proportionsOf(densitiesOf: DensitiesOf): number[] {
  const rows: (readonly [number, number, number])[] = [];
  for (let amount = amountStep; amount < mostAmount; amount += amountStep) {
    const densities = densitiesOf(amount);
    if (densities[0] > fitted.most) break;
    if (densities[0] > fitted.least) rows.push(densities);
  }
  return ([1, 2] as const).flatMap((c) => {
    const design = rows.map(([red]) => Float64Array.of(red, red ** 2, red ** 3));
    return [
      ...leastSquaresSolution(
        design,
        Float64Array.from(rows, (densities) => densities[c]),
      )!,
    ];
  });
}
