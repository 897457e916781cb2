// What is said about the inks of a film printer.
import { formatFixed, formatShare } from "#shared/format/number.ts";
import type { InkReadingWarning } from "#shared/film/ink-facts.ts";
import type { InkFinding } from "#shared/schema/ink.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const name = (ink: string): string => `${ink.charAt(0).toUpperCase()}${ink.slice(1)}`;

const findings: Sentences<InkFinding> = {
  "paper-unseen":
    "No bare paper was seen round the sheet, so nothing tells whether its white is white. Leave a rim of bare paper " +
    "round the coating, and keep it in the picture.",
  "ink-enough": ({ ink, likely, lower, upper }) =>
    `${name(ink)} keeps the paper white from ${formatShare(likely)} of its ink on (95 %: ${formatShare(lower)} to ` +
    `${formatShare(upper)}). Send ${formatShare(upper)} of it: more only wets the film and crowds the light tones.`,
  "ink-just-enough": ({ ink, likely }) =>
    `${name(ink)} may keep the paper white from ${formatShare(likely)} of its ink on, but not surely even with all ` +
    "of it. Send all of it, and look at the whites of the first print; a shorter time makes them sure.",
  "ink-short": ({ ink, veilDensity, shortDensity }) =>
    `No ink of this sheet keeps the paper white. ${name(ink)} comes nearest: even all of it leaves a veil of red ` +
    `density ${formatFixed(veilDensity, 2)}` +
    (shortDensity === null ? "" : `, the film ${formatFixed(shortDensity, 2)} short in ultraviolet density`) +
    ". Use more ink (a heavier media setting), two films, another mixture, a shorter time, or a coating with a " +
    "shorter scale.",
};

/** What to do with the strongest ink. */
export const inkFindingWords = (finding: InkFinding): string => sentenceOf(findings, finding);

const readings: Sentences<InkReadingWarning> = {
  "ink-no-curve":
    "Without the curve of a tablet test the film's density is not known, only what each ink did to the print. Lay a " +
    "step tablet into the sheet's clear window, and read it as a test.",
};

export const inkReadingWords = (fact: InkReadingWarning): string => sentenceOf(readings, fact);
