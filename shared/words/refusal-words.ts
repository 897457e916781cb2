// What an act of the studio refuses, and what to do instead. The facts stand here, since src/studio/ is no part of the
// core.
import { InputError, type InputErrorCode } from "#shared/errors.ts";
import { unbelievableWords } from "./sun/dose-clock-words.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";

/** What a test or print is made with. */
export type Ingredient = "lamp" | "support" | "coating" | "film" | "tablet" | "batch";

const ingredientWords: Readonly<Record<Ingredient, string>> = {
  lamp: "lamp",
  support: "paper or fabric",
  coating: "coating",
  film: "film",
  tablet: "tablet",
  batch: "batch of this coating",
};

type MaterialRefusal =
  | { readonly code: "no-such-ingredient"; readonly what: Ingredient; readonly id?: string }
  | { readonly code: "box-without-name" }
  | { readonly code: "other-count-of-steps"; readonly tabletSteps: number; readonly printSteps: number }
  | { readonly code: "prints-tell-no-densities" };

type TestRefusal =
  | { readonly code: "picture-not-sent" }
  | { readonly code: "reference-of-one-picture" }
  /** Pictures are counted from 1. */
  | { readonly code: "no-tablet-in-further-picture"; readonly picture: number }
  | { readonly code: "further-picture-stops"; readonly picture: number; readonly detail: string }
  | { readonly code: "too-many-unused-pictures" }
  | { readonly code: "no-such-test"; readonly id: string }
  | { readonly code: "not-head-to-tail" }
  | { readonly code: "day-to-come"; readonly year: string }
  | { readonly code: "changed-meanwhile" };

type EvennessRefusal =
  | { readonly code: "no-curve-for-blue" }
  | { readonly code: "levels-on-bed" }
  /** Tablets are counted from 1. */
  | { readonly code: "tablet-on-bed-stops"; readonly tablet: number; readonly detail: string };

type NegativeRefusal =
  | { readonly code: "no-check-sheet" }
  | { readonly code: "no-grey-levels" }
  | { readonly code: "sheet-through-unknown-test"; readonly mark: string }
  | { readonly code: "sheet-through-forgotten-curve" }
  | { readonly code: "toned-of-another-sheet" }
  | { readonly code: "no-such-tone-test"; readonly id: string }
  | { readonly code: "ink-curve-unfit" }
  | { readonly code: "ink-time-missing" }
  | { readonly code: "no-such-kept-curve" }
  | { readonly code: "series-too-large"; readonly pictures: number }
  | { readonly code: "negative-forgotten" }
  | { readonly code: "too-many-negatives" }
  | { readonly code: "negative-not-ready" };

type SunRefusal =
  | { readonly code: "photogram-test-in-dark" }
  | { readonly code: "photogram-test-without-curve" }
  | { readonly code: "anchor-overcast" }
  | { readonly code: "anchor-in-dark" }
  | { readonly code: "anchor-of-unknown"; readonly id: string }
  | { readonly code: "no-such-anchor-test"; readonly id: string }
  | { readonly code: "no-such-anchor"; readonly id: string }
  | { readonly code: "too-many-frames"; readonly most: number }
  /** What the plan says instead of a time. */
  | { readonly code: "plan-without-time"; readonly reason: string | null }
  /** What the schema found. */
  | { readonly code: "frame-contradicts-itself"; readonly found: string | null }
  | { readonly code: "frame-outside" }
  /** Dose over the wanted dose, and how long the frame was outside [s]. */
  | { readonly code: "frame-unbelievable"; readonly share: number; readonly outsideSeconds: number }
  | { readonly code: "frame-without-call" }
  | { readonly code: "witness-no-strip" }
  | { readonly code: "witness-curve-not-of-sun" }
  | { readonly code: "witness-tells-nothing" };

type SharingRefusal =
  | { readonly code: "shared-picture-changed" }
  /** Tests of the file are counted from 1. */
  | { readonly code: "shared-test-incomplete"; readonly test: number; readonly missing: Ingredient | "picture" };

type Refusal = MaterialRefusal | TestRefusal | EvennessRefusal | NegativeRefusal | SunRefusal | SharingRefusal;

const sentences: Sentences<Refusal> = {
  "no-such-ingredient": ({ what, id }) =>
    `There is no ${id === undefined ? "such " : ""}${ingredientWords[what]}${id === undefined ? "" : ` "${id}"`}: ` +
    "choose one from the list, or add it first.",
  "day-to-come": ({ year }) => `That day in ${year} lies more than a year ahead: look for a slip in the year.`,
  "box-without-name": "Give the box a name, so that you find it again.",
  "other-count-of-steps": ({ tabletSteps, printSteps }) =>
    `The tablet has ${tabletSteps} steps, and a print of it ${printSteps}: give one density for each step, null ` +
    "for one that could not be read.",
  "prints-tell-no-densities":
    "The prints do not tell the tablet's densities: they need steps from nearly white to nearly full blue, at two " +
    "times a stop apart or beside a timed strip.",
  "picture-not-sent": "The picture is missing.",
  "reference-of-one-picture": "The places of the reference patches are those of one picture: send that picture alone.",
  "no-tablet-in-further-picture": ({ picture }) =>
    `No tablet was found in picture ${picture}: take it again, or leave it out.`,
  "further-picture-stops": ({ picture, detail }) =>
    `Picture ${picture} of this print: ${detail} Or leave this picture out: the others can be read without it.`,
  "too-many-unused-pictures":
    "Many pictures were sent and not used yet: send this one with its form, or wait an hour until the others are gone.",
  "no-such-test": ({ id }) => `There is no test "${id}": choose tests from the list.`,
  "not-head-to-tail":
    "Two strips of one sheet are read together only where both are of the same tablet, lamp, paper, coating, film " +
    "and exposure, and the other one is not read together with a third: choose such a test, or none.",
  "changed-meanwhile":
    "Someone else has changed this since you opened it, so nothing was saved. Look at both, and save again if " +
    "yours shall count.",
  "no-curve-for-blue":
    "Choose a test of the same coating on the same paper that has a curve: it turns the blue of the print into light.",
  "levels-on-bed":
    "Strips of grey levels have no known densities. Lay step tablets, or timed strips uncovered together.",
  "tablet-on-bed-stops": ({ tablet, detail }) => `Tablet ${tablet}: ${detail}`,
  "no-check-sheet":
    "This test is not a check sheet: it was not printed through a correction. Print the wedge sheet through a " +
    "test's correction, make a test of that print, and look here.",
  "no-grey-levels":
    "This test was made with a step tablet or a timed strip, which measure exposure. A tone curve needs known " +
    "grey levels printed on your own film: make a test with the wedge sheet or a strip of levels.",
  "sheet-through-unknown-test": ({ mark }) =>
    `This sheet was printed through the correction of a test (mark ${mark}) that is not kept here, so what was ` +
    "sent to the film printer is not known. Print a first sheet without a correction.",
  "sheet-through-forgotten-curve":
    "This sheet was printed through a kept curve that is no longer here, so what was sent to the film printer is not " +
    "known. Print a first sheet without a correction.",
  "toned-of-another-sheet":
    "The toned print and the plain one are not of the same sheet: choose two tests of one print, read before and " +
    "after toning.",
  "no-such-tone-test": ({ id }) =>
    `There is no test "${id}": choose one that was made with the wedge sheet or a strip of levels.`,
  "ink-curve-unfit": "Choose a tablet test with a curve, made without a film over its tablet.",
  "ink-time-missing": "Say how long the ink sheet was exposed: its curve counts in seconds.",
  "no-such-kept-curve": "This kept curve is not here, or belongs to another test: choose one from the list.",
  "series-too-large": ({ pictures }) =>
    `These pictures are too large to be made in one go: after ${pictures} there is no room. Make fewer at once, or ` +
    "with fewer dots per inch.",
  "negative-forgotten":
    "This negative is not known (any more): finished ones are kept for half an hour. Make it again.",
  "too-many-negatives": "Many negatives are being made at the moment: wait until one is ready, or cancel one.",
  "negative-not-ready": "This negative is not ready yet: ask for its progress.",
  "photogram-test-without-curve":
    "Choose a test of a step tablet or of a strip uncovered in steps, with a curve: its print lies beside the thing's.",
  "photogram-test-in-dark":
    "By its place and time this test stood in the dark: check the date, the offset of the time, and east and west.",
  "too-many-frames": ({ most }) => `${most} frames are kept already. Judge or forget those that have been in for long.`,
  "plan-without-time": ({ reason }) => reason ?? "This plan gives no time.",
  "frame-contradicts-itself": ({ found }) => `Not saved: ${found ?? "something does not fit"}.`,
  "frame-outside": "This frame is still outside: bring it in first.",
  "frame-unbelievable": ({ share, outsideSeconds }) => unbelievableWords(share, outsideSeconds),
  "witness-no-strip":
    "A witness strip is a strip uncovered in steps, saved as a test with place and start under the sun. Choose one.",
  "witness-curve-not-of-sun":
    "The strip's depths are told by the curve of another test of the same coating in clear sun, with place and " +
    "start. Choose one.",
  "witness-tells-nothing":
    "No step of the strip tells a dose: all are too pale or too dark for that curve, or lie outside the frame's time.",
  "frame-without-call": "There is no time to call at: the frame is in, or the light does not suffice today.",
  "anchor-overcast":
    "A print made under an overcast sky cannot be an anchor: nobody knows how strong that light was. Keep one " +
    "made in the sun.",
  "anchor-in-dark":
    "By its place and time this print stood in the dark or turned from the sun. Check the date, the offset of the " +
    "time, east and west, and the tilt.",
  "anchor-of-unknown": ({ id }) => `There is nothing kept under "${id}": choose one from the list, or leave it out.`,
  "no-such-anchor-test": ({ id }) =>
    `There is no test "${id}" to use as an anchor. It may have been deleted; choose another.`,
  "no-such-anchor": ({ id }) => `There is no anchor "${id}". It may have been deleted; choose another.`,
  "shared-picture-changed":
    "A picture in the file is not the one that its name says: the file was changed or damaged on its way. Ask for " +
    "it again.",
  "shared-test-incomplete": ({ test, missing }) =>
    `Test ${test} of the file refers to a ${missing === "picture" ? missing : ingredientWords[missing]} that is ` +
    "not in it. Ask for the file again.",
};

/** An error that says why an act refuses what was asked. */
export function refusal(
  code: InputErrorCode,
  fact: Refusal,
  parts: ConstructorParameters<typeof InputError>[2] = {},
): InputError {
  return new InputError(code, sentenceOf(sentences, fact), parts);
}

/** What is said of a mistake of ours, whose cause stands in the log. */
export const ourMistakeWords = "Something went wrong in Wedgewright itself.";
