// Pictures with transparency: parts that are not there at all lie on white, but tones that shine half through would be
// mixed with it, and every density read too low.
import type { Sharp } from "sharp";

/** Edges of cut-out parts are half transparent; more of the picture than this is no edge. common practice, no source */
const mostHalfThroughShare = 0.02;

/**
 * Whether more of a picture is half transparent than the edges of what was cut out.
 * @param picture one with transparency
 */
export async function isHalfTransparent(picture: Sharp): Promise<boolean> {
  const alphas = await picture.extractChannel("alpha").toColourspace("b-w").raw().toBuffer();
  let halfThrough = 0;
  for (const alpha of alphas) if (alpha > 0 && alpha < 255) halfThrough++;
  return halfThrough > mostHalfThroughShare * alphas.length;
}
