// What makes a range wide, in words.
import type { RangeSource } from "#shared/schema/curve.ts";

const sources: Readonly<Record<RangeSource, string>> = {
  steps: "Reading and coating, step by step",
  "tablet-steps": "Tablet, each step",
  "tablet-scale-and-base": "Tablet as a whole, in this light",
  "coating-gradient": "Coating along the strip",
  camera: "Camera without a grey scale",
  "curve-shape": "Shape of the curve",
  "film-base": "Film base",
  "print-to-print": "From print to print",
};

/** A source of uncertainty as a short label. */
export const rangeSourceWords = (source: RangeSource): string => sources[source];
