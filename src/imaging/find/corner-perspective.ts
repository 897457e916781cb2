// A thin strip's corners tell its perspective badly: a pixel more of height at one end moves the middle by half a step.
// The course of the boundaries tells it well, so the heights at the ends follow it.
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

const rounds = 8;
/** The heights at the ends change by at most this ratio. */
const mostChange = 1.5;

/**
 * The corners with the heights at their ends changed against each other so that the strip's middle comes to lie at a
 * place.
 */
export function withMiddleAt(corners: Corners, middle: PointPx): Corners {
  let ratio = 1;
  let best = corners;
  for (let round = 0; round < rounds; round++) {
    best = withHeights(corners, Math.sqrt(ratio));
    const [u] = mapPoint(inverseHomography(homographyFromCorners(best)), ...middle);
    if (!(u > 0.2 && u < 0.8)) return corners;
    // Along a line in perspective the middle lies at rho / (1 + rho), rho the ratio of the heights at its ends.
    ratio = Math.min(Math.max(ratio * (u / (1 - u)), 1 / mostChange), mostChange);
  }
  return best;
}

/** The height at the first end times a factor, at the other divided by it. */
function withHeights([a, b, c, d]: Corners, factor: number): Corners {
  const about = (p: PointPx, q: PointPx, by: number): [PointPx, PointPx] => {
    const [x, y] = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    return [
      [x + (p[0] - x) * by, y + (p[1] - y) * by],
      [x + (q[0] - x) * by, y + (q[1] - y) * by],
    ];
  };
  const [topLeft, bottomLeft] = about(a, d, factor);
  const [topRight, bottomRight] = about(b, c, 1 / factor);
  return [topLeft, topRight, bottomRight, bottomLeft];
}
