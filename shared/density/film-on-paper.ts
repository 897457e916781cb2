// A film laid on white paper, seen from above: light passes it on the way down and again on the way up, so a film
// tablet that everybody here owns is a grey scale.

/**
 * Path down and up in film thicknesses, for light from 30 to 50 degrees and a camera straight above: refraction in a
 * film of index 1.5 makes it 1.06 to 1.16 on the way down, and its surfaces let less slanted light in; spread for
 * diffuse light and for films that scatter.
 * Source: from memory (Snell's law); spread common practice, no source
 */
const passes = { mean: 2.16, sigma: 0.05 } as const;
/**
 * Light that goes to and fro between paper and film comes back: most under clear film, less under dark.
 * Source: from memory (Fresnel's formulas: 9 % of diffuse light at each surface; paper of reflectance 0.85)
 */
const toAndFro = { always: 0.04, underClear: 0.02, sigmaDensity: 0.02 } as const;
/**
 * Room light that the film's own surface mirrors into the camera, as a share of white paper.
 * Source: common practice, no source.
 */
const glare = { share: 0.004, sigmaShare: 0.004 } as const;

/** Film steps that look darker than this (density) show more glare than film. */
export const deepestFilmOnPaper = 1.4;

export interface FilmOnPaper {
  /** Density above the bare paper, as a camera above sees it. */
  readonly density: number;
  /**
   * How far each of what is not known, at one standard deviation, moves the natural logarithm of the light: passes,
   * light to and fro, glare. Each is common to all steps of the film.
   */
  readonly errors: readonly [number, number, number];
}

/**
 * How dark a step of a neutral film looks on white paper beside the bare paper, and how far that may be off.
 *
 * Left out: what spreads sideways in the paper at the edges of a step, and a film of silver grain, which scatters.
 * @param filmDensity density of the step in transmitted light; 0 is bare paper with no film on it
 * @throws RangeError for a negative density
 * Source: from memory (Snell's law and Fresnel's formulas for a plane film over matt paper)
 */
export function filmOnPaper(filmDensity: number): FilmOnPaper {
  if (!(filmDensity >= 0)) throw new RangeError(`A film's density cannot be ${filmDensity}.`);
  if (filmDensity === 0) return { density: 0, errors: [0, 0, 0] };
  const back = toAndFro.always + toAndFro.underClear * 10 ** (-2 * filmDensity);
  const throughFilm = 10 ** -(passes.mean * filmDensity - back);
  const light = throughFilm + glare.share;
  const ofFilm = throughFilm / light;
  return {
    density: -Math.log10(light),
    errors: [
      -Math.LN10 * passes.sigma * filmDensity * ofFilm,
      Math.LN10 * toAndFro.sigmaDensity * ofFilm,
      glare.sigmaShare / light,
    ],
  };
}
