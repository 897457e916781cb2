// What is said about numbers that an instrument measured.
import type { InstrumentTrouble, InstrumentWarning } from "#shared/reading/instrument/instrument-facts.ts";
import { formatDensity } from "#shared/format/number.ts";
import type { Sentences } from "#shared/words/sentences.ts";

const signed = (density: number): string => `${density < 0 ? "" : "+"}${formatDensity(density)}`;

/** Stands on the drawing that takes the picture's place. */
export const drawnStripCaption = "Drawn from an instrument's numbers, not photographed";

export const instrumentSentences: Sentences<InstrumentWarning> = {
  "instrument-scale": ({ scale, name }) => {
    const called = name === null ? "" : ` (${name})`;
    if (scale === "linear-srgb")
      return (
        `These densities were computed from colours that an instrument measured${called}: red is the linear red of ` +
        "sRGB primaries."
      );
    if (scale === "none")
      return (
        `These are visual densities by an instrument${called}; red was not measured. Compare their depth with visual ` +
        "densities alone."
      );
    return (
      `These densities are by an instrument's own red filter${called}, which is another scale than a camera's red: ` +
      "times may be compared with those of pictures, D-max may not."
    );
  },
  "instrument-paper-unmeasured":
    "No bare paper came with the steps, so the instrument was taken to be set to zero on it. If it was not, measure " +
    "the bare paper too, before or after the steps.",
  "instrument-zero-from-steps":
    "No bare paper came with the steps, so zero was taken from the palest of them: all densities may be too low by " +
    "the same amount. Measure the bare paper too, before or after the steps.",
  "instrument-other-light":
    "The file speaks of another light or observer than D50 and 2 degrees. Densities above paper change little by it; " +
    "export for D50 and 2 degrees if the program can.",
  "instrument-reversed":
    "The steps get darker from the first on, but the clearest step of a tablet, or the longest time of a strip, " +
    "comes first and prints darkest: turn the list round.",
  "instrument-and-camera": ({ rmsDensity, worstDensity, worstStep, ratio }) =>
    `Read from the picture, the steps differ from the instrument's by ${formatDensity(rmsDensity)} on the whole ` +
    `(root mean square), most in step ${worstStep} (${signed(worstDensity)}); the picture shows ` +
    `${Math.round(ratio * 100)} % of the instrument's density. The instrument's numbers are used.`,
};

export const instrumentTroubleSentences: Sentences<InstrumentTrouble> = {
  "instrument-no-data": "There are no numbers in what was pasted: give one line for each step.",
  "instrument-no-known-field":
    "The file holds none of the quantities that are read here: red or visual density (D_RED, D_VIS), L*a*b* " +
    "(LAB_L, LAB_A, LAB_B), XYZ (XYZ_X, XYZ_Y, XYZ_Z) or a spectrum. Export one of them, or choose another quantity.",
  "instrument-bad-line": ({ line }) => `Line ${line} of the instrument's numbers cannot be read: look for a slip.`,
  "instrument-rows": ({ told, found }) =>
    `The file tells of ${told} measurements, but its values make ${found}: one is missing, or the file is cut short. ` +
    "Export it again, every value filled in.",
  "instrument-count": ({ samples, steps }) =>
    `The instrument measured ${samples} patches, but the tablet has ${steps} steps: give one line for each step, ` +
    "and one more, before or after them, for bare paper.",
  "instrument-impossible": ({ sample }) =>
    `The density of step ${sample} is impossible: look for a slip, and give densities, not percent. A step paler ` +
    "than paper means that the wrong patch was taken for paper.",
  "instrument-of-sheet":
    "Instruments are read for strips only. Choose a step tablet, a timed strip or a strip of levels, or send a scan " +
    "of the wedge sheet.",
  "instrument-other-channel": ({ measured }) =>
    measured === "visual"
      ? "The instrument measured visual density alone: judge the print by that too (under more about this test)."
      : "The instrument measured red density alone: judge the print by red (under more about this test).",
};
