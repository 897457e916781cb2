// What can hurt, where it is done: a short line beside the act, a longer block on the same page. common practice, no
// source; each defers to the supplier's safety data sheet, local rules and the studio's responsible person.
import type { StepHazard } from "#shared/prints/step-hazard.ts";

export type CautionTopic = StepHazard | "glass" | "dust";

interface CautionWords {
  /** Name of its picture (views/partials/icon.ejs). */
  readonly icon: "light" | "drop" | "glass" | "sun";
  /** One line, beside the act. */
  readonly short: string;
  readonly text: string;
}

export const cautionWords: Readonly<Record<CautionTopic, CautionWords>> = {
  "uv-light": {
    icon: "light",
    short: "Box shut, interlock trusted; never look at the lamp.",
    text:
      "Ultraviolet light harms eyes and skin, also when it looks dim. Keep the box shut, trust its interlock, never " +
      "look at the tubes or diodes, and cover your skin for long work.",
  },
  chemicals: {
    icon: "drop",
    short: "Gloves and eye protection; no strong acid, no bleach.",
    text:
      "Gloves and eye protection; raise no dust; plastic or wooden tools where metal would react. Keep strong acid " +
      "away from the ferricyanide. Keep bleach and other alkali away: they destroy the blue, and bleach with acid " +
      "gives off chlorine. Pour nothing that holds iron cyanides into a drain where local rules forbid it. The " +
      "dichromate additive is a carcinogen and restricted in many places: paper does not need it, so leave it out.",
  },
  peroxide: {
    icon: "drop",
    short: "Diluted peroxide alone, in no closed bottle; gloves and eye protection.",
    text:
      "Peroxide burns skin and eyes where it is strong: take the household 3 % and dilute it ten times, with gloves " +
      "and eye protection. Keep it in no closed bottle, away from metal, and do not mix it with acid or bleach.",
  },
  glass: {
    icon: "glass",
    short: "Look for cracks in the glass; do not press on it.",
    text: "Glass breaks and cuts: tape sharp edges, check the frame for cracks, do not press on the pane.",
  },
  sun: {
    icon: "sun",
    short: "Never look into the sun or its reflection; cover your skin; the frame gets hot.",
    text:
      "Do not look into the sun or its reflection in the frame; cover skin; glass and frames left in the sun get hot " +
      "enough to burn.",
  },
  dust: {
    icon: "drop",
    short: "Weigh without raising dust, away from food, children and pets.",
    text: "Weigh and mix dry powders without raising dust, away from food, children and pets.",
  },
};

/** Whom a caution defers to. */
export const deferringWords =
  "Follow the supplier's safety data sheet, local rules and your studio's licensed or responsible person.";
