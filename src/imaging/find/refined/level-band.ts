// The strip laid level: sampled along its own steps, so that boundary k lies at k times the same number of samples,
// whatever the perspective.
import { valueAt, type Field } from "#src/imaging/find/smoothed-field.ts";
import {
  bandOfRows,
  besideMean,
  lineRadius,
  rowCount,
  rowShare,
  type StripBand,
} from "#src/imaging/find/strip-band.ts";
import { placesOf, sizeOf, type StripShape } from "./strip-shape.ts";

export interface LevelBand {
  readonly band: StripBand;
  /** Samples of one step, and small pixels of one sample. */
  readonly perStep: number;
  readonly samplePx: number;
}

const fewestSamples = 8;
const mostSamples = 16;

/**
 * Samples a strip along its steps.
 * @param beyond so many steps beyond either end are sampled too
 * @param isBesideSeen false leaves out what lies beside the strip
 */
export function levelBand(
  field: Field,
  shape: StripShape,
  { steps, beyond, isBesideSeen }: { readonly steps: number; readonly beyond: number; readonly isBesideSeen: boolean },
): LevelBand {
  const placeOf = placesOf(shape, field);
  const { length, height } = sizeOf(shape);
  const pitchPx = length / steps;
  const perStep = Math.min(mostSamples, Math.max(fewestSamples, Math.round(pitchPx)));
  const samplePx = pitchPx / perStep;
  const from = -Math.round(beyond * perStep);
  const count = steps * perStep - 2 * from;
  const line = (v: number): Float32Array => {
    const values = new Float32Array(count);
    for (let i = 0; i < count; i++) {
      const [x, y] = placeOf((from + i + 0.5) / perStep / steps, v);
      values[i] = valueAt(field, x, y);
    }
    return values;
  };
  const nothing = new Float32Array(count);
  const band = bandOfRows(
    Array.from({ length: rowCount }, (_, row) => line(rowShare(row))),
    {
      from,
      radius: lineRadius(pitchPx, samplePx),
      beside: isBesideSeen
        ? [besideMean(height, (away) => line(-away)), besideMean(height, (away) => line(1 + away))]
        : [nothing, nothing],
    },
  );
  return { band, perStep, samplePx };
}
