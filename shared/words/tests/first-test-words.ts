// What is done before the first test: which tablet, how it is laid, and the list to tick off; on the page and on paper.

export interface TabletAdvice {
  readonly name: string;
  readonly good: string;
}

/** What can be laid on the coating, and what each is good for. */
export const tabletAdvice: readonly TabletAdvice[] = [
  {
    name: "Film tablet, 21 steps, 0.15 apart",
    good:
      "The one to begin with: three powers of ten of light in one strip, so that almost any first time shows " +
      "something. A step is half a stop.",
  },
  {
    name: "Film tablet, 31 steps, 0.10 apart",
    good: "As long, with finer steps: a narrower range from the same print. Each step should still be 5 mm wide.",
  },
  {
    name: "Strip uncovered in steps",
    good:
      "Needs nothing but an opaque card and a clock: each step is in the light twice as long as the next. It shows " +
      "fewer steps, so the first time must fit better.",
  },
];

/** What to look for in a tablet. */
export const tabletToLookFor =
  "A tablet for this is film, looked through, not a paper scale; its clearest step hardly darker than clear film " +
  "(about 0.05), its densest about 3.0. Kept flat and clean it lasts for years. If its slip names a density for each " +
  "step, type them once under Tablets.";

/** How the tablet is laid, step by step. */
export const layingSteps: readonly string[] = [
  "Coat a piece that is at least two fingers wider than the tablet all round, as evenly as for a print, and let it " +
    "dry in the dark. The blue beside the tablet tells how even the coating is. Paper without an alkaline buffer " +
    "(chalk): buffered paper prints pale, and its blue fades.",
  "Leave a rim of bare, uncoated paper on two sides at least: it is what white means in the photo.",
  "Lay the tablet in the middle of the bed, emulsion to the coating, no ink, label or tape over its steps.",
  "Beside it, or over it, lay a clear piece of the film of your negatives, and say so with the test: " +
    "the next time then holds through that film.",
  "Glass on top as for a print: where the tablet does not touch, light creeps under its edges.",
];

/** The list to tick off at the box. The rim and the film come first because they cannot be mended afterwards. */
export function firstTestChecklist(time: string): string[] {
  return [
    "Bare rim on two sides",
    "Tablet flat, emulsion to the coating, clear film with it",
    "Glass clean, pressed down",
    "Lamp on for five minutes before (the sun: clear sky, no shadow on the frame)",
    `Exposed for ${time}; clock time of the start noted`,
    "Washed until no yellow is left, dried: the blue deepens while it dries",
    "Photographed from straight above, rim and all, no glare, no filter",
  ];
}

/** Lines for a pen below the list. */
export const firstTestLines = [
  "Light, distance",
  "Paper or cloth",
  "Coating, mixed on",
  "Film",
  "Start, time",
  "Initials",
];

/** Where the usual times come from. */
export const usualTimesNote =
  "The usual times are common practice, from memory, without a source: a guess to begin with, not a measurement. " +
  "Your first test replaces it.";
