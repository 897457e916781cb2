// Sentences about a picture file that was just chosen.
import type { ChosenFileFact } from "#shared/reading/chosen-file.ts";
import type { GlanceFact } from "#shared/reading/picture-glance.ts";
import type { SeveralPictures } from "#shared/reading/reading-facts.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

export const pdfSentence = "This is a PDF. Scan or photograph the print as a picture: JPEG, HEIC, PNG, TIFF or WebP.";

/** One of the pictures in a file is read: which, of how many, and what to do if it is not the one meant. */
export function severalPicturesSentence({ of, are }: SeveralPictures): string {
  const read = are === "shots" ? `the main one of ${of} pictures` : `the first of ${of} ${are}`;
  return (
    `The file holds several pictures: ${read} is read. ` +
    "If the print is in another, save that one as a file of its own."
  );
}

const sentences: Sentences<ChosenFileFact | GlanceFact | SeveralPictures> = {
  "several-pictures-in-file": severalPicturesSentence,
  "file-empty": "The file is empty. Copy it from the phone or camera again, then choose it once more.",
  "file-pdf": pdfSentence,
  "file-too-large": ({ mostBytes }) =>
    `The file is larger than ${Math.round(mostBytes / 1024 / 1024)} MB. Save it as JPEG, or crop it to the tablet ` +
    "and a hand's breadth round it.",
  "too-many-files": ({ most }) => `At most ${most} further pictures of one print are read. Choose fewer.`,
  "picture-small": ({ width, height }) =>
    `Only ${width} × ${height} pixels: it looks like a thumbnail, or a picture that went through a messenger. Choose ` +
    "the one from the camera or scanner itself; this one can be tried.",
  "picture-dark":
    "The picture looks dark: even its lightest places are grey. Photograph the print in bright, even light, or tap " +
    "the paper on the phone's screen to set the exposure; this one can be tried.",
  "picture-blurred":
    "The picture looks blurred. Hold still, tap the strip to focus, and keep a hand's breadth away; steps of a " +
    "blurred picture run into each other.",
  "picture-glare":
    "There are white spots that shine: glare of a lamp or window. Turn the print or yourself until they are gone.",
  "picture-without-blue":
    "No blue print is seen in the picture. Was it the right one? A print that is not blue can be tried all the same.",
  "print-far": ({ lengthShare }) =>
    `The blue fills only ${Math.max(1, Math.round(lengthShare * 100))} % of the picture's length: go nearer, so that ` +
    "the strip with its rim fills most of it.",
};

export function chosenFileSentence(fact: ChosenFileFact | GlanceFact | SeveralPictures): string {
  return sentenceOf(sentences, fact);
}
