// The figures of a curve with what each of them means.
import { withOwnDecimals } from "#shared/format/writing.ts";
import { formatDensity, formatFixed, formatLogH } from "#shared/format/number.ts";
import type { Curve } from "#shared/schema/curve.ts";

export interface Figure {
  readonly term: string;
  readonly value: string;
  readonly meaning: string;
}

export function figuresOf(curve: Curve): Figure[] {
  const { toe, mid, shoulder } = curve.points;
  const point = (term: string, value: { logH: number; density: number } | null, meaning: string): Figure => ({
    term,
    value: value === null ? "not reached" : `log H ${formatLogH(value.logH)}, density ${formatDensity(value.density)}`,
    meaning,
  });
  return [
    {
      term: "Log exposure range",
      value: curve.logExposureRange === null ? "not reached" : formatLogH(curve.logExposureRange),
      meaning: "The density range that your negative should have, under this light.",
    },
    shoulder === null
      ? {
          term: "D-max",
          value: `about ${formatDensity(curve.dMax)}`,
          meaning: "Reckoned from the shape: the strip did not reach it.",
        }
      : { term: "D-max", value: formatDensity(curve.dMax), meaning: "Deepest blue above bare paper." },
    { term: "D-min", value: formatDensity(curve.dMin), meaning: "Stain of the clear areas above bare paper." },
    {
      term: "Average gradient",
      value: curve.averageGradient === null ? "not reached" : formatFixed(curve.averageGradient, 2),
      meaning: "Contrast from toe to shoulder.",
    },
    point("Toe", toe, withOwnDecimals("First tone: 0.04 above D-min.")),
    point("Mid", mid, withOwnDecimals("Density 0.60 above D-min.")),
    point("Shoulder", shoulder, "90 % of what the paper can give."),
  ];
}
