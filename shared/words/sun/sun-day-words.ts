// What a day's plan says of the negatives that it leaves over, and what its calendar and its paper say of the others.
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

type LeftOver = { readonly code: "does-not-fit" } | { readonly code: "no-time"; readonly reason: string | null };

const leftOver: Sentences<LeftOver> = {
  "does-not-fit": "does not fit any more before the sun sinks under 10°: another day, or one more frame",
  "no-time": ({ reason }) => reason ?? "there is nothing to scale its time by",
};

export const leftOverWords = (fact: LeftOver): string => sentenceOf(leftOver, fact);

/** Titles of a day's calendar, which a locked phone shows. */
export const dayCalendarTitles = {
  out: (name: string, frame: number): string => `Out: ${name} (frame ${frame})`,
  in: (name: string, frame: number): string => `Bring in: ${name} (frame ${frame})`,
} as const;

/** Head of the printed plan. */
export const dayPlanHead = {
  title: (day: string): string => `In the sun, ${day}`,
  clock: (zone: string): string => `By the clock of ${zone.replaceAll("_", " ")}`,
} as const;

/** The cautions and conditions at the foot of the printed plan. */
export const dayPlanFooting =
  "Reckoned for a clear sky and an open horizon. Clouds make every time longer: count the dose with the dose clock. " +
  "Never look into the sun or its reflection in the glass, cover skin, and lift hot frames with a cloth.";
