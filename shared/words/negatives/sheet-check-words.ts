// What a check sheet came to, in words.
import type { Residual } from "#shared/correction/refine-correction.ts";
import { isStraight } from "#shared/correction/straightness.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";

/** The scale that a target asks for, in words. */
export const scaleWords: Readonly<Record<SheetTarget, string>> = {
  lightness: "a scale of even lightness",
  density: "a scale of even density",
};

/** What a check sheet came to, and what to do next. */
export function sheetCheckSentence({
  after,
  largestChangeLevels,
  target,
}: {
  after: Pick<Residual, "mean" | "worst">;
  largestChangeLevels: number;
  target: SheetTarget;
}): string {
  const found =
    `The correction aimed at ${scaleWords[target]}. Through it the tones lie L* ${formatFixed(after.mean, 1)} from ` +
    `that on average, ${formatFixed(after.worst, 1)} at worst.`;
  if (isStraight(after))
    return (
      `${found} That is as close as prints repeat: go on with this curve. The refined one differs by at most ` +
      `${formatFixed(largestChangeLevels, 1)} grey levels.`
    );
  return (
    `${found} Make the next negative with this test's own correction for even steps of ${target}, which averages ` +
    "both prints. Half of what is left may be this one print's coating or exposure, so a third sheet is worth its " +
    "film only if the next print is still off."
  );
}
