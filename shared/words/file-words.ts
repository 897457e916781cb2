// What stands in and on the files made here: heads of the correction's tables, the line under a negative, the mark of
// invented data.
import { isToned } from "#shared/correction/target-text.ts";
import { formatDuration } from "#shared/format/duration.ts";
import type { Calibration } from "#shared/schema/correction.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";

/** Heads of the two tables of a correction. */
export const correctionTableHeads = {
  curve: "Tone correction: grey levels of a positive, wanted and to send to the film printer, 0-255",
  tones:
    "Tones measured on the print: grey level sent as a positive, visual density above paper, L*, standard " +
    "uncertainty of density",
} as const;

/** Stands beside everything that came from the sample studio. */
export const inventedRemark = "Invented demo data, not a real print";

/** Notes of a sample's test: what it shows, and that nobody printed it. */
export const sampleNotes = (about: string): string => `${about} Invented: rendered from a known curve.`;

/** What the strip under a negative's picture says. */
export function captionText(
  { testName, lamp, support, coating, film, exposureSeconds }: Calibration,
  { captionDate, target }: Pick<NegativeRequest, "captionDate" | "target">,
): string {
  const time = exposureSeconds === null ? "" : `exposed ${formatDuration(exposureSeconds)}`;
  const parts = [testName, lamp, support, coating, film, time, scaleOnCaption(target), captionDate];
  return parts.filter((part) => part !== "").join(", ");
}

/** What the curve aimed at, where it is not the usual even steps of lightness. */
function scaleOnCaption(target: NegativeRequest["target"]): string {
  if (target === "lightness") return "";
  if (target === "density") return "even steps of density";
  return isToned(target) ? "to be toned" : "a scale of its own";
}
