// Whether the steps of a place that was found by darkness have the colour of a print: in a picture that holds blue, a
// row of greys is a scale laid beside it. Numbers: common practice, no source (rendered scenes).
import { homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { valueAt, type Field } from "./smoothed-field.ts";
import { robustHeldLine } from "./strip-frame.ts";

/** Blueness differing by this much over the picture (log10) shows that it holds a blue print. */
const leastBlueRange = 0.15;
/**
 * A row whose steps get bluer by less than the first of these for each density is greys, by more than the second a
 * print; greys are so much less likely to be the strip.
 */
const bluePerDensity = { greys: 0.1, print: 0.3 } as const;
const greysLeft = 0.2;

/** Steps are looked at in their middle, at these shares of the height. */
const rows = [0.3, 0.5, 0.7];
/** Colours scatter about a trend by so much (log10); its slope is held by no more than this. */
const colourNoise = 0.05;
const widestSlope = 10;

/** Every so many places of a picture are looked at for its range of blue, which is between these shares of them. */
const sampledEvery = 101;
const blueRange = { from: 0.05, to: 0.995 } as const;

/** Whether a picture holds a blue print. */
export function hasBlue({ values }: Field): boolean {
  const count = Math.ceil(values.length / sampledEvery);
  const sample = Float32Array.from({ length: count }, (_, i) => values[i * sampledEvery]!).sort();
  return sample[Math.floor(count * blueRange.to)]! - sample[Math.floor(count * blueRange.from)]! > leastBlueRange;
}

interface BlueAndDark {
  readonly blueness: Field;
  readonly darkness: Field;
}

/**
 * How likely a row of steps is a print by its colour, in a picture that holds blue.
 * @param corners in pixels of the fields
 * @returns share, 1 for a print and lower for greys
 */
export function printLikelihood(fields: BlueAndDark, corners: Corners, steps: number): number {
  const { greys, print } = bluePerDensity;
  const share = (bluenessPerDarkness(fields, corners, steps) - greys) / (print - greys);
  return greysLeft + (1 - greysLeft) * Math.min(Math.max(share, 0), 1);
}

/** How much bluer steps get for each unit of density that they get darker: two thirds in iron blue, 0 in greys. */
function bluenessPerDarkness({ blueness, darkness }: BlueAndDark, corners: Corners, steps: number): number {
  const toPicture = homographyFromCorners(corners);
  const points = Array.from({ length: steps }, (_, k) => k).flatMap((k) =>
    rows.map((v) => {
      const [x, y] = mapPoint(toPicture, (k + 0.5) / steps, v);
      return [valueAt(darkness, x, y), valueAt(blueness, x, y), 1] as const;
    }),
  );
  return robustHeldLine(points, widestSlope, colourNoise)[1];
}
