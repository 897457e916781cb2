// What is said about a picture and the strip in it.
import { formatFixed } from "#shared/format/number.ts";
import type {
  MeasuredReading,
  FileWarning,
  ProfileFact,
  ProfileWarning,
  ReadingWarning,
  ReferenceTrouble,
  ReferenceWarning,
  SheetWarning,
  StripWarning,
} from "#shared/reading/reading-facts.ts";
import type { InstrumentWarning } from "#shared/reading/instrument/instrument-facts.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { severalPicturesSentence } from "./chosen-file-words.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";
import { instrumentSentences } from "./instrument-words.ts";
import { sheetSentences } from "#shared/words/negatives/sheet-words.ts";

const profiles: Sentences<ProfileFact> = {
  untagged: "sRGB (assumed, untagged)",
  damaged: "sRGB (assumed, embedded profile damaged)",
  "other-form": "sRGB (assumed, embedded profile of another form)",
  srgb: ({ name }) => (name === "" || /^srgb/iu.test(name) ? "sRGB" : `sRGB ("${name}")`),
  embedded: ({ name }) => (name === "" ? "embedded profile without a name" : name),
};

/** Plain name of the tone curve and primaries by which a picture was read. */
const profileWords = (fact: ProfileFact): string => sentenceOf(profiles, fact);

/** Sentences about a picture's colour profile, whatever the picture is for. */
export const profileSentences: Sentences<ProfileWarning> = {
  "profile-missing":
    "The picture does not say which colour space it is in, so sRGB was assumed. If it is in another, densities " +
    "are off by up to a quarter of each (1.0 may be read as 0.8 or 1.25). Let the camera or scanner program embed " +
    "its colour profile, or save as sRGB.",
  "profile-unreadable":
    "The picture's colour profile is damaged, so sRGB was assumed: densities may be off. Save the picture again " +
    "with an sRGB profile.",
  "profile-tables": ({ name }) =>
    `The picture's colour profile${name === "" ? "" : ` ("${name}")`} is of a form that is not read here, so sRGB ` +
    "was assumed: densities may be off by up to a quarter of each. Convert the picture to sRGB in your image " +
    "program and send it again.",
};

const referenceTroubles: Sentences<ReferenceTrouble> = {
  "paler-than-another": "a patch that should be darker looks paler than another",
  "no-camera-curve": ({ residualDensity }) =>
    `no camera curve fits them: they disagree by ${formatFixed(residualDensity, 2)} in density`,
  "stray-light": ({ flareShare }) =>
    `they suggest ${Math.round(flareShare * 100)} % stray light, more than a camera has`,
  "outside-or-overexposed": ({ patches }) => `patch ${patches.join(", ")} lies outside the picture or is overexposed`,
};

/** @param isSupposed nothing tells that a camera took the picture, but nothing tells of a scanner either */
function unknownToneWords(isSupposed: boolean): string {
  const [by, remedy] = isSupposed
    ? [
        "The file tells of no scanner, so this is taken for a photo: its",
        "If it was scanned, say so on the test's page. If not: scan",
      ]
    : ["A camera took this picture, and its", "For true densities scan"];
  return (
    `${by} own tone curve and stray light cannot be seen from it alone. Stray light of 1 % makes a density of 1.5 ` +
    "look like 1.38: deep steps are likely read too low, D-max most, and where a time is told its range is wider. " +
    `${remedy} the print, or lay a grey scale of known densities beside it.`
  );
}

const reference: Sentences<ReferenceWarning> = {
  "reference-refused": ({ why }) =>
    `The reference patches were not used: ${sentenceOf(referenceTroubles, why)}. Check their densities and ` +
    "positions, and keep glare and shadow off them. Without them the camera's own tone curve is unknown.",
  "reference-patches-lost": ({ patches }) =>
    `Reference patch ${patches.join(", ")} lies outside the picture or is overexposed, and was left out. Keep the ` +
    "whole scale in the picture.",
  "reference-film-too-dense": ({ patches }) =>
    `Film step ${patches.join(", ")} is so dense that on paper its own glare outshines it, and was left out. A film ` +
    "on paper holds to a density of about 0.7; deeper steps of the print are less sure.",
  "reference-light-unknown":
    "Too little bare paper shows how the light on the reference patches differs from that on the strip, so " +
    "the densities are less sure. Lay the patches close to the strip, and keep the paper round both in the " +
    "picture.",
  "reference-too-pale": ({ steps }) =>
    `${steps.length === 1 ? `Step ${steps[0]} is` : `${steps.length} steps, among them step ${steps[0]}, are`} ` +
    "darker in red than the darkest reference patch. The camera's tone curve is guessed there, and the densities " +
    "are less sure. Add a darker patch, or scan the print.",
  "reference-too-dark":
    "The bare paper is brighter than the palest reference patch that could be used. The camera's tone curve " +
    "is guessed there, and with it the zero of all densities. Keep a white patch in the picture, about as bright " +
    "as the paper.",
};

const strip: Sentences<StripWarning> = {
  "looks-like-other-count": ({ looksLike, declared }) =>
    `This looks like ${looksLike} steps; you said ${declared}. Choose the right number and read the picture ` +
    "again, or check the corners.",
  "corners-reordered": ({ order }) =>
    "The corners were not given in order round the strip. As the picture shows the steps to run, they were taken as " +
    `corners ${order.join(", ")}. Look at the boxes on the picture.`,
  "corners-settled": ({ movedPx }) =>
    `The corners were moved onto the edges that the picture shows, by up to ${Math.max(1, Math.round(movedPx))} ` +
    "pixels. Look at the boxes, and mark the corners again if they do not fit the steps.",
  "corners-doubted":
    "The steps in the picture do not lie where the corners say. Look at the boxes on the picture, and mark the " +
    "four outer corners of the whole strip, starting at step 1.",
  "paper-falls-along": ({ stops }) =>
    `What lies beside the marked strip changes by ${formatFixed(stops, 1)} stops along with the steps, so it is no ` +
    "paper under falling light: the strip probably goes on there. Mark the corners at the outer edges of the " +
    "strip, and keep some bare paper round it.",
  "location-uncertain": ({ confidence }) =>
    `The strip was found with a confidence of ${Math.round(confidence * 100)} %. Look at the boxes on the ` +
    "picture, and move the corners if they do not fit the steps.",
  "strip-reversed": ({ firstShouldBe }) =>
    `The strip gets ${firstShouldBe === "darkest" ? "darker" : "paler"} from step 1 on, but step 1 should be the ` +
    `${firstShouldBe}. The corners are turned round: start with the corner at the ${firstShouldBe} end.`,
  "light-uneven": ({ stops }) =>
    `The light falls off by ${formatFixed(stops, 1)} stops along the strip. It was evened out by the paper round the ` +
    "strip, but even light gives surer densities: use two lamps from both sides, or open shade.",
  "no-paper": ({ hasEvenLight }) =>
    "No bare paper was found beside the strip, so zero was taken from its least exposed steps" +
    (hasEvenLight ? "" : ", and uneven light could not be corrected") +
    ". " +
    "Densities may all be too low by the same amount. Leave a margin of bare, washed paper round the tablet, " +
    "and keep it in the picture.",
  "paper-clipped":
    "The paper beside the strip is overexposed in the picture, so zero and the palest steps are not sure. Take " +
    "the picture again a little darker: paper should come out light grey, not pure white.",
  blurred:
    "The picture is blurred: the steps run into each other. Rest the camera on something, tap the strip to focus, " +
    "and take it again from a little further away if it will not focus.",
  "picture-grey": ({ of }) =>
    "The picture has no colours, so what stands as red density is density in grey. A blue print looks paler there " +
    "(1.6 in red may be 0.7 in grey), " +
    (of === "sheet"
      ? "and how light each tone is depends on how camera or program made the grey, so the tone curve may be off. "
      : "its depth compares with no other test's, and the time may be off by more than its range says. ") +
    "Scan or photograph the print in colour.",
  "small-steps": ({ widthPx, heightPx }) =>
    `Each step is only ${Math.round(widthPx)} x ${Math.round(heightPx)} pixels. Take the picture from nearer or ` +
    "scan at a higher resolution: ten pixels and more for each step.",
  tilted:
    "The camera was held far from square to the print. Take the picture from straight above, so that opposite " +
    "sides of the strip look equally long.",
  recompressed: ({ looksSent }) =>
    looksSent
      ? "The picture looks as if it came through a messenger, which shrinks and recompresses pictures. Send the " +
        "original file instead: by mail attachment, cable or shared folder."
      : "The picture was compressed hard, which rounds its tones. Choose the best JPEG quality in the camera or " +
        "scanner program, or save as PNG or TIFF.",
  "tone-unchecked": ({ solvedFrom, isSupposed = false }) =>
    solvedFrom === undefined
      ? unknownToneWords(isSupposed)
      : `The camera's tone curve was solved from ${solvedFrom} pictures at different exposures; stray light and ` +
        "raised saturation as far as the print's one pigment tells them, by how its green density goes with its red. " +
        "What that leaves open is in the uncertainty of the deep steps. Shade the lens, keep bright things out of " +
        "the frame, or lay a grey scale of known densities beside the print.",
  "colours-raised": ({ times }) =>
    `The camera raised the colours, by about ${formatFixed(times, 1)} times as the blue shows: deep steps read ` +
    "too dark in red. The range of the time allows for it, but do not compare the depth of this print with one from " +
    "another camera. Use the camera's plain or natural setting, send several pictures at different exposures, or scan.",
  "steps-clipped": ({ steps }) =>
    `The picture is overexposed in ${listed(steps)}: the brightest values are cut off. Take it again a little ` +
    "darker, so that paper white stays below the end of the scale.",
  "steps-crushed": ({ steps }) =>
    `Red light is cut off at black in ${listed(steps)}, so these densities are only lower limits. Scan or ` +
    "photograph with 16 bits, a wider colour space, or a little more exposure.",
  "steps-out-of-gamut": ({ steps }) =>
    `The blue of ${listed(steps)} lies outside the colours that the picture can hold, so its red density is only ` +
    "a lower limit. Use a wider colour space (Display P3 or wider) or a raw development.",
  "steps-uneven": ({ steps }) =>
    `The tone inside ${listed(steps)} is uneven: brush streaks, a stain, something lying on part of it, or ` +
    "corners that do not fit. Check the boxes on the picture.",
  "steps-left-out": ({ steps }) =>
    `Something lies on ${listed(steps)} (a hair, a sticker, a stain), so it was left out.`,
  "pictures-disagree": ({ steps }) =>
    `The pictures disagree about step${steps.length > 1 ? "s" : ""} ${steps.join(", ")}: look whether the tablet ` +
    "was found in the same place in each, or use the best picture alone.",
  "exposures-unknown": ({ stops }) =>
    `The pictures differ in brightness by ${formatFixed(stops, 1)} stops, but not all of their files tell how they ` +
    "were exposed (messengers strike that out), so the camera's tone curve could not be solved from them: they were " +
    "averaged. Send the original files, or use the best picture alone.",
  "exposures-disagree":
    "The pictures contradict the exposures that their files tell (the light changed between them, or the phone " +
    "brightened one by itself), so the camera's tone curve was not solved from them: they were averaged. Take them " +
    "again one right after the other in steady light, with HDR switched off, or use the best picture alone.",
  "turned-pictures-differ":
    "The print lies turned half round in one of the pictures, but their densities differ more than light and camera " +
    "explain: do all show the same print, and was the tablet found in the same place? They were averaged, and no " +
    "step counts as surer than they agree. Use pictures of one print alone.",
  "light-told-by-turning": ({ stops }) =>
    "The print was turned half round between the pictures, so light could be told from print: " +
    `${formatFixed(stops, 2)} stops from one end of the strip to the other, beyond what paper showed, were taken off.`,
};

function listed(steps: readonly number[]): string {
  return steps.length === 1 ? `step ${steps[0]}` : `steps ${steps.slice(0, -1).join(", ")} and ${steps.at(-1)}`;
}

const ofPicture: Sentences<FileWarning | ReferenceWarning | StripWarning | InstrumentWarning> = {
  ...profileSentences,
  "several-pictures-in-file": severalPicturesSentence,
  ...instrumentSentences,
  ...reference,
  ...strip,
};

/** What to keep in mind with a picture and the strip or sheet in it. */
export function readingWarningWords(fact: ReadingWarning): string {
  return isOfSheet(fact) ? sentenceOf(sheetSentences, fact) : sentenceOf(ofPicture, fact);
}

/** Steps of a strip have numbers, those of a sheet grey levels; the other codes belong to one of them alone. */
function isOfSheet(fact: ReadingWarning): fact is SheetWarning {
  return "levels" in fact || (fact.code in sheetSentences && !("steps" in fact));
}

/** A reading as answers and records carry it. */
export function readingInWords({ image, warnings, light: _, ...measured }: MeasuredReading): Reading {
  const { location, steps, ...sheet } = measured;
  const otherCount = warnings.find((warning) => warning.code === "looks-like-other-count");
  return {
    image: { ...image, profile: profileWords(image.profile) },
    location: otherCount === undefined ? location : { ...location, looksLikeSteps: otherCount.looksLike },
    steps,
    warnings: inWords(warnings, readingWarningWords),
    ...sheet,
  };
}
