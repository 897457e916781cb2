// Whether a print through a correction came out as straight as prints repeat.
import type { Residual } from "./refine-correction.ts";

/** Goals of one correction, L*: mean and worst difference that the eye hardly sees. common practice, no source */
const straightEnough = { mean: 1, worst: 2.5 };

/**
 * Whether the tones lie so close to what the correction aimed at that another sheet would tell nothing.
 * @param residual differences of lightness [L*]
 * Source: common practice, no source.
 */
export function isStraight({ mean, worst }: Pick<Residual, "mean" | "worst">): boolean {
  return mean <= straightEnough.mean && worst <= straightEnough.worst;
}
