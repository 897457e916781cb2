// What a camera's own tone curve and stray light may do to densities when nothing in the picture tells of them.
import type { CameraTerm } from "#shared/schema/reading.ts";

/**
 * What is usual where nothing is known: contrast of the tone curve about one, and stray light as a share of paper
 * white.
 * Source: camera-photometry note (stray light of phones 1-5 %, of good lenses 0.2-1 %), spread common practice, no
 *   source
 */
export const unknownCamera: CameraTerm = {
  toneKnown: false,
  by: "assumption",
  gammaSigma: 0.05,
  flareShare: 0.01,
  flareSigma: 0.01,
};

/** Nothing lies between print and numbers that is not known: a scan, or an instrument. */
export const noCamera: CameraTerm = { toneKnown: true, by: "no-camera", gammaSigma: 0, flareShare: 0, flareSigma: 0 };

/**
 * Shoulders bend the contrast next to paper most: more uncertainty there, which fades in the depths.
 * Source: common practice, no source.
 */
const shoulder = (red: number): number => 0.06 * red * Math.exp(-red);

/** Beyond this the picture says next to nothing about the true density. */
const mostSigma = 0.5;

/**
 * Density that a print has, of which a camera with stray light shows less.
 * @param seen density above paper as the camera shows it
 * @param flareShare stray light as a share of paper white, the same everywhere (0-1)
 * @returns density without it; Infinity where the stray light alone is as bright as the step
 * @example densityWithoutFlare(1.38, 0.01) // 1.5
 * Source: camera-photometry note, flare model that can be inverted
 */
export function densityWithoutFlare(seen: number, flareShare: number): number {
  const light = 10 ** -seen * (1 + flareShare) - flareShare;
  return light > 0 ? -Math.log10(light) : Number.POSITIVE_INFINITY;
}

/**
 * Standard uncertainty of a red density by the camera: wholly common to all steps of a picture, and one-sided where
 * stray light was not taken off, since that only ever makes a step too pale. It is the root mean square of what the
 * density read may be off.
 * @param red density above paper as read, nothing taken off
 * @returns 0 where the tone is known
 * Source: camera-photometry note
 */
export function cameraSigmaOf(red: number, camera: CameraTerm): number {
  if (camera.toneKnown || red <= 0) return 0;
  // Two equally likely amounts of stray light have its mean and spread.
  const [less, more] = [camera.flareShare - camera.flareSigma, camera.flareShare + camera.flareSigma].map(
    (share) => Math.min(densityWithoutFlare(red, Math.max(share, 0)), red + 2 * mostSigma) - red,
  );
  return Math.min(
    mostSigma,
    Math.hypot(
      camera.gammaSigma * red,
      camera.by === "assumption" ? shoulder(red) : 0,
      Math.sqrt((less! ** 2 + more! ** 2) / 2),
    ),
  );
}
