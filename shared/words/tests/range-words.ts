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

const remedies: Readonly<Record<RangeSource, string>> = {
  steps: "An even coating, and a scan or a sharper photo, make it smaller.",
  "tablet-steps": "A tablet whose steps were measured makes it smaller.",
  "tablet-scale-and-base": "Calibrating the tablet in your own light nearly takes it away.",
  "coating-gradient": "Two strips head to tail make it smaller, and so does saying how even your coatings are.",
  camera: "Grey patches of known density in the picture take it away; a scan has none of it.",
  "curve-shape": "A longer exposure, or a tablet of finer steps, makes it smaller.",
  "film-base": "Measuring the film's base under this light makes it smaller.",
  "print-to-print": "Tests of other days show how much yours differ.",
};

/** What makes a source of uncertainty smaller, as a sentence. */
export const rangeRemedyWords = (source: RangeSource): string => remedies[source];

/** A source of uncertainty as a short label. */
export const rangeSourceWords = (source: RangeSource): string => sources[source];
