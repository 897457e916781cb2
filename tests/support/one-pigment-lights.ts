// Light of a print of one pigment, from a spectrum: an absorption band on white paper through broad channels. Band,
// channels and surface are invented; their width and place are common practice, no source.

const wavelengthsNm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const bell = (x: number, middle: number, width: number) => Math.exp(-0.5 * ((x - middle) / width) ** 2);
/** Light of a print with so much pigment in red, green and blue channels, paper at 1. */
function lightOf(amount: number, peakNm: number): [number, number, number] {
  const channel = (middle: number, width: number) => {
    let [seen, all] = [0, 0];
    for (const nm of wavelengthsNm) {
      const weight = bell(nm, middle, width);
      const surface = 0.01;
      seen += weight * (surface + (1 - surface) * 10 ** (-amount * (bell(nm, peakNm, 95) + 0.04)));
      all += weight;
    }
    return seen / all;
  };
  return [channel(604, 36), channel(537, 40), channel(458, 28)];
}

const amounts = Array.from({ length: 21 }, (_, i) => 2.4 / (1 + Math.exp(4.2 * (i * 0.15 - 1.35))));

/** Red, green and blue light of 21 steps from deep to pale, paper at 1. @param peakNm middle of the absorption band */
export const onePigmentLights = (peakNm = 680): [number, number, number][] =>
  amounts.map((amount) => lightOf(amount, peakNm));
