// How near anybody could come to the red densities of a bracket who knew how its prints and cameras are drawn: the
// camera's curve is taken as known, up to the contrast that the noted exposures leave open. Stray light grows with the
// exposure and so shows in no exposure; it shows only in how green and blue run along with red, which the surface of
// the paper bends in the same way.
// Source: van Trees 1968 (Bayesian Cramér-Rao bound), from memory.
import { choleskyFactor, forwardSubstitute } from "#shared/statistics/cholesky.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { meanAndDirections } from "../../support/mean-and-directions.ts";
import { proportionsOf, type DensitiesOf } from "../../support/pigment-population.ts";

/** Standard deviation of a density in one channel by what three pictures' noise leaves (density). */
const noise = 0.0007;
/** Stray light and raised saturation as one may know them beforehand: as the reader does. */
const flareSigma = 0.01;
const chromaSigma = 0.35;

/** What is common to all prints that are drawn: terms of their proportions, and how these move together. */
export function drawnProportions(prints: readonly DensitiesOf[]): ReturnType<typeof meanAndDirections> {
  return meanAndDirections(prints.map(proportionsOf));
}

/**
 * Standard deviation of each red density at the bound.
 * @param reds of a print's steps
 * @param drawn what is known of all prints
 * @param camera its stray light, its saturation, and how well the exposures tell its contrast
 */
export function narrowestSigmas(
  reds: readonly number[],
  drawn: ReturnType<typeof drawnProportions>,
  camera: { readonly flare: number; readonly chroma: number; readonly contrastSigma: number },
): number[] {
  const { mean, directions } = drawn;
  const seenBy = (p: readonly number[]): number[] => {
    const [flare, chroma, contrast] = p as [number, number, number];
    const terms = mean.map((each, k) => each + directions.reduce((sum, moves, d) => sum + moves[k]! * p[3 + d]!, 0));
    return reds.flatMap((known, i) => {
      const red = known + p[3 + directions.length + i]!;
      const along = (from: number) => red * (terms[from]! + terms[from + 1]! * red + terms[from + 2]! * red * red);
      const veiled = [red, along(0), along(3)].map((density) => (10 ** -density + flare) / (1 + flare));
      const luminance = luminanceFromLinearSrgb(...(veiled as [number, number, number]));
      return veiled.map(
        (light) => -Math.log10(Math.max(luminance + chroma * (light - luminance), leastLight)) * (1 + contrast),
      );
    });
  };
  const at = [camera.flare, camera.chroma, 0, ...directions.map(() => 0), ...reds.map(() => 0)];
  const size = at.length;
  const base = seenBy(at);
  const slopes = at.map((value, k) => {
    const moved = seenBy(at.map((each, j) => (j === k ? value + slopeStep : each)));
    return moved.map((seen, i) => (base[i]! > mostSeen ? 0 : (seen - base[i]!) / slopeStep));
  });
  const priors = [
    flareSigma,
    // Nine pictures in ten have the saturation that they should, which is then as good as known.
    camera.chroma === 1 ? slopeStep : chromaSigma,
    camera.contrastSigma,
    ...directions.map(() => 1),
    ...reds.map(() => freeSigma),
  ];
  const information = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    for (let k = 0; k < size; k++)
      information[j * size + k] = slopes[j]!.reduce((sum, slope, i) => sum + slope * slopes[k]![i]!, 0) / noise ** 2;
    information[j * size + j]! += priors[j]! ** -2;
  }
  const factor = choleskyFactor(information, size);
  return reds.map((_, i) =>
    Math.hypot(
      ...forwardSubstitute(
        factor,
        at.map((__, k) => Number(k === 3 + directions.length + i)),
      ),
    ),
  );
}

const slopeStep = 1e-4;
/** A step's own density is not known at all (density). */
const freeSigma = 10;
/** Red that raised saturation drives to nothing shows nothing. */
const leastLight = 1e-4;
const mostSeen = 2.3;
