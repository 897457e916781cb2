// What is said about a correction and the negative made with it.
import { formatFixed } from "#shared/format/number.ts";
import type { CorrectionWarning, FoundCorrection, NegativeWarning } from "#shared/correction/correction-facts.ts";
import type { ProfileWarning } from "#shared/reading/reading-facts.ts";
import type { Correction } from "#shared/schema/correction.ts";
import { profileSentences } from "#shared/words/tests/reading-words.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** Steps named in one sentence; of the others their number is said. */
const mostNamed = 12;

const otherWords =
  (what: string, consequence: string) =>
  ({ usedName, nextName }: { readonly usedName: string | null; readonly nextName: string }): string =>
    `This curve was measured with ${usedName === null ? `no named ${what}` : `"${usedName}"`}, and the next print ` +
    `uses the ${what} "${nextName}": ${consequence}`;

/** What to do about highlights that merge: less ink only where the paper is known to be clean there. */
const inkAdvice = {
  unknown: "; whether the film holds back too much or too little cannot be told without bare paper in the picture",
  veiled: "",
  dense: "; less ink on the film would empty fewer",
} as const;

const materialWords = { lamp: "light", support: "paper or fabric", coating: "coating", film: "film" } as const;

const correction: Sentences<CorrectionWarning> = {
  "check-of-other-materials": ({ what, testName }) =>
    `This check sheet was saved with another ${what.map((each) => materialWords[each]).join(", ")} than the test ` +
    `that it was printed through, "${testName}". If that is a slip, change it on the test's page; if not, this curve ` +
    "mixes the two.",
  "shadows-blocked": ({ fromLevel, toLevel, lightness, withinLightness }) =>
    `Grey levels ${Math.round(fromLevel)} to ${Math.round(toLevel)} all print as the darkest blue, L* ` +
    `${formatFixed(lightness, 1)} within ${withinLightness}: shadows as sent today are blocked there. The correction ` +
    "spreads them again; a shorter exposure would block fewer.",
  "highlights-empty": ({ film, fromLevel, toLevel, lightness, withinLightness }) =>
    `Grey levels ${Math.round(fromLevel)} to ${Math.round(toLevel)} all print as the lightest tone, L* ` +
    `${formatFixed(lightness, 1)} within ${withinLightness}: highlights as sent today are empty there. The ` +
    `correction spreads them again${inkAdvice[film]}.`,
  "highlights-not-held": ({ level, veilDensity, lightness }) =>
    `The densest film lets light through: level ${Math.round(level)} prints ${formatFixed(veilDensity, 2)} denser ` +
    `than bare paper, so the lightest tone can be no lighter than L* ${formatFixed(lightness, 1)}. A denser black on ` +
    "the film, two films stacked or a shorter exposure would hold the paper white.",
  "levels-incomplete": ({ lowest, highest, top }) =>
    `The levels read run from ${Math.round(lowest)} to ${Math.round(highest)}, not from 0 to ${top}: the ` +
    "correction stays within them, since nothing is known beyond.",
  "tones-fall": ({ level, byLightness }) =>
    `The print gets darker again near level ${Math.round(level)}, by L* ${formatFixed(byLightness, 1)}, more than ` +
    "its uncertainty explains: uneven coating, a mark on the print, or an exposure so long that the blue turns " +
    "paler. The curve goes through the middle.",
  "few-levels": ({ count }) =>
    `Only ${count} grey levels were read; between them the curve is a guess. A strip of 16 levels or more, or the ` +
    "wedge sheet, tells more.",
  "tones-by-camera": ({ why, lightness }) =>
    (why === "camera"
      ? "These tones were read from a camera's picture without a grey scale in it"
      : "The picture does not say how its greys are meant") +
    ": " +
    `its own tone curve stays in them, and middle tones may be off by up to L* ${formatFixed(lightness, 0)} although ` +
    "the print is not. For tones scan the sheet, or lay grey patches of known density beside it.",
  "tones-left-out": ({ steps }) =>
    `${steps.length === 1 ? "Step" : "Steps"} ` +
    (steps.length > mostNamed
      ? `${steps.slice(0, mostNamed).join(", ")} and ${steps.length - mostNamed} more`
      : steps.join(", ")) +
    " " +
    `could not be trusted (clipped, crushed or covered) and ${steps.length === 1 ? "was" : "were"} left out of ` +
    "the curve.",
  "strip-patch-odd": ({ patch, byLightness }) =>
    `Patch ${patch} of the strip, counted from its darkest end, is L* ${formatFixed(Math.abs(byLightness), 1)} ` +
    `${byLightness > 0 ? "lighter" : "darker"} than its neighbours let expect: a speck, glare, or a ` +
    "corner set in the wrong place. The curve has followed it a little. Look at the strip, take another photo or " +
    "set its corners, and read it again.",
  "strip-disagrees": ({ strips }) =>
    (strips > 1
      ? "This strip contradicts the sheet and the strips before it by more than prints usually differ"
      : "This strip's tones do not move together as a drift of printer, coating or light moves them") +
    ": uneven light on the photo, a patchy coating, or another paper. The curve has followed it, but do not trust it " +
    "yet: take another photo in even light; if that says the same, print a wedge sheet.",
  "strip-far": ({ meanLightness }) =>
    `This strip lies L* ${formatFixed(meanLightness, 0)} on average from what the curve promised. Twelve patches ` +
    "follow so large a change only roughly: check that the strip is of this negative, and print a wedge sheet.",
  "strip-not-inverted":
    "The print gets darker as the grey levels rise, so the strip was printed without turning it into a negative " +
    "(or was read from its other end). The levels were turned round to fit: check that the strip's level 0 is the " +
    "darkest blue.",
  "other-lamp": otherWords(
    "lamp",
    "tones can shift, since lamps differ in colour of light and in how it falls. Find the new time first; make a " +
      "new sheet if the middle tones are off.",
  ),
  "other-support": otherWords(
    "support",
    "papers and fabrics differ in contrast and in their darkest blue. Expect a tone error until a sheet is " +
      "printed on it.",
  ),
  "other-coating": otherWords(
    "coating",
    "another mixture has another contrast. Expect a tone error until a sheet is printed with it.",
  ),
  "other-film": otherWords(
    "film",
    "film and ink decide how much light each grey level lets through, so the curve does not hold. Print a sheet " +
      "on this film.",
  ),
  "other-device": ({ usedName, nextName }) =>
    `The calibration's film was printed by "${usedName || "an unnamed device"}", the next negative will be by ` +
    `"${nextName || "an unnamed device"}": ` +
    "another printer lays down other densities, so the curve does not hold.",
};

/** What to keep in mind with a correction. */
export const correctionWarningWords = (fact: CorrectionWarning): string => sentenceOf(correction, fact);

/** A correction as the answer carries it, with facts that its use adds before and after its own. */
export function correctionInWords(
  found: FoundCorrection,
  facts: { readonly before: readonly CorrectionWarning[]; readonly after: readonly CorrectionWarning[] },
): Correction {
  return {
    ...found,
    warnings: inWords([...facts.before, ...found.warnings, ...facts.after], correctionWarningWords),
  };
}

const negative: Sentences<NegativeWarning | ProfileWarning> = {
  ...profileSentences,
  "picture-coarse": ({ picturePixelsPerInch }) =>
    `The picture has ${Math.round(picturePixelsPerInch)} pixels per inch of this print, so it will look soft. A ` +
    "larger original or a smaller print would be crisper; more dots per inch do not help.",
};

/** What to keep in mind with a negative. */
export const negativeWarningWords = (fact: NegativeWarning | ProfileWarning): string => sentenceOf(negative, fact);
