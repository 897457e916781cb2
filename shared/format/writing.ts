// How numbers, lengths and days are written for the one who reads. What is measured, kept and answered by the API stays
// in points, millimetres and ISO dates: docs/decisions/0012-one-way-of-writing-for-each-reader.md.

const lengthUnits = ["mm", "inches"] as const;
const decimalSigns = ["point", "comma"] as const;
const dayOrders = ["words", "day-month-year", "month-day-year", "iso"] as const;

export interface Writing {
  readonly lengths: (typeof lengthUnits)[number];
  readonly decimals: (typeof decimalSigns)[number];
  readonly days: (typeof dayOrders)[number];
}

/** What everybody reads who has chosen nothing. */
export const usualWriting: Writing = { lengths: "mm", decimals: "point", days: "words" };

let readerAsks: () => Writing = () => usualWriting;

/**
 * Says where the reader's choice is found. Called once, where the parts of a program are wired together.
 * @param ask gives the choice of whoever is being answered just now
 * @returns where it was found until now
 */
export function writeAsReaderAsks(ask: () => Writing): () => Writing {
  const before = readerAsks;
  readerAsks = ask;
  return before;
}

/** The choice of whoever is being answered just now. */
export function writingNow(): Writing {
  return readerAsks();
}

/**
 * A choice from one word for each part, such as "inches.comma.iso"; what is not understood is as usual.
 * @param text as `writingText` writes it
 */
export function writingFrom(text: string): Writing {
  const words = text.split(".");
  const chosen = <Word extends string>(known: readonly Word[], usual: Word): Word =>
    known.find((word) => words.includes(word)) ?? usual;
  return {
    lengths: chosen(lengthUnits, usualWriting.lengths),
    decimals: chosen(decimalSigns, usualWriting.decimals),
    days: chosen(dayOrders, usualWriting.days),
  };
}

/** One word for each part of a choice: "inches.comma.iso". */
export function writingText({ lengths, decimals, days }: Writing): string {
  return [lengths, decimals, days].join(".");
}

/**
 * Our own sentence, kept with a point in its numbers, with the reader's decimal sign.
 * @param sentence of the program, never what a person wrote: a version or a clock may stand in that
 */
export function withOwnDecimals(sentence: string): string {
  return writingNow().decimals === "point"
    ? sentence
    : sentence.replaceAll(/(?<![\d.])(\d+)\.(\d+)(?![\d.])/g, "$1,$2");
}
