// Sentences about a picture file that was just chosen.
import type { ChosenFileFact } from "#shared/reading/chosen-file.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

export const pdfSentence = "This is a PDF. Scan or photograph the print as a picture: JPEG, HEIC, PNG, TIFF or WebP.";

const sentences: Sentences<ChosenFileFact> = {
  "file-empty": "The file is empty. Copy it from the phone or camera again, then choose it once more.",
  "file-pdf": pdfSentence,
  "file-too-large": ({ mostBytes }) =>
    `The file is larger than ${Math.round(mostBytes / 1024 / 1024)} MB. Save it as JPEG, or crop it to the tablet ` +
    "and a hand's breadth round it.",
  "picture-small": ({ width, height }) =>
    `Only ${width} × ${height} pixels: it looks like a thumbnail, or a picture that went through a messenger. Choose ` +
    "the one from the camera or scanner itself; this one can be tried.",
};

export function chosenFileSentence(fact: ChosenFileFact): string {
  return sentenceOf(sentences, fact);
}
