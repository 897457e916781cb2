// What iron blue on paper looks like in green and blue light beside red: nearly fixed proportions, which bend a little
// because channels are broad and the surface itself returns light.

/** Density in green and in blue light is red density times a polynomial of it; so many terms each. */
const proportionTerms = 3;

/** How terms of green's and of blue's proportion usually are. */
export interface UsualProportions {
  readonly mean: readonly number[];
  /** How all terms move together with each of as many unknowns, at one standard deviation. */
  readonly moves: readonly (readonly number[])[];
}

/**
 * Terms as prints usually have them under cameras with broad channels, and under three narrow lights, where proportions
 * hardly bend: scanners have diodes, and some profiles take a camera's channels sharply apart. Or any other: a toned or
 * stained blue, a profile that mixes channels; then nothing is known but that proportions bend little.
 * Source: the first two computed over 1000 drawn prints and cameras each, see the test of this file; the last common
 *   practice, no source.
 */
export const usualProportions: Readonly<Record<"broad" | "narrow" | "other", UsualProportions>> = {
  broad: {
    mean: [0.4946, -0.0562, 0.0189, 0.1377, 0.0034, 0.0076],
    moves: [
      [0.0585, -0.0122, 0.0102, 0.0171, -0.0045, 0.0057],
      [0, 0.0159, -0.0116, -0.0027, 0.0083, -0.0071],
      [0, 0, 0.0122, 0.012, -0.0063, 0.0084],
      [0, 0, 0, 0.0275, -0.0028, 0.0014],
      [0, 0, 0, 0, 0.0042, -0.0006],
      [0, 0, 0, 0, 0, 0.0017],
    ],
  },
  narrow: {
    mean: [0.434, -0.0133, 0.0043, 0.1145, 0.0003, 0.0008],
    moves: [
      [0.0639, -0.0083, 0.0106, 0.0137, -0.0011, 0.0028],
      [0, 0.0109, -0.0117, -0.0088, 0.0048, -0.0044],
      [0, 0, 0.0052, 0.0024, -0.001, 0.0017],
      [0, 0, 0, 0.0269, -0.0021, 0.0007],
      [0, 0, 0, 0, 0.0014, -0.0006],
      [0, 0, 0, 0, 0, 0.0009],
    ],
  },
  other: {
    mean: [0.55, 0, 0, 0.2, 0, 0],
    moves: [
      [0.2, 0, 0, 0, 0, 0],
      [0, 0.02, 0, 0, 0, 0],
      [0, 0, 0.01, 0, 0, 0],
      [0, 0, 0, 0.12, 0, 0],
      [0, 0, 0, 0, 0.02, 0],
      [0, 0, 0, 0, 0, 0.01],
    ],
  },
};

/** The channels beside red, and where their terms begin. */
export const besideRed = { green: 0, blue: proportionTerms } as const;

/**
 * Density that a channel's terms give beside a red one.
 * @param terms of both channels, from paper's proportion on
 * @param from where the channel's terms begin
 */
export function proportionalDensity(terms: readonly number[], from: number, red: number): number {
  let sum = 0;
  let power = red;
  for (let k = 0; k < proportionTerms; k++, power *= red) sum += terms[from + k]! * power;
  return sum;
}

/** Its slope by the red density. */
export function proportionalSlope(terms: readonly number[], from: number, red: number): number {
  let sum = 0;
  let power = 1;
  for (let k = 0; k < proportionTerms; k++, power *= red) sum += (k + 1) * terms[from + k]! * power;
  return sum;
}
