// Inks and mixtures that a film printer can be sent, and how amounts of them are laid out on an ink sheet.
import type { FilmInkName } from "#shared/schema/ink.ts";
import type { FilmInk } from "#shared/schema/negative.ts";
import type { SheetOptions } from "./wedge-sheet-layout.ts";

/** An ink of ours by its name; the order is part of the sheet's code and never changes. */
export const filmInks = [
  { name: "black", ink: { red: 0, green: 0, blue: 0 } },
  { name: "red", ink: { red: 255, green: 0, blue: 0 } },
  { name: "green", ink: { red: 0, green: 255, blue: 0 } },
  { name: "blue", ink: { red: 0, green: 0, blue: 255 } },
  { name: "cyan", ink: { red: 0, green: 255, blue: 255 } },
  { name: "magenta", ink: { red: 255, green: 0, blue: 255 } },
  { name: "yellow", ink: { red: 255, green: 255, blue: 0 } },
  { name: "orange", ink: { red: 255, green: 128, blue: 0 } },
  { name: "olive", ink: { red: 128, green: 128, blue: 0 } },
  { name: "brown", ink: { red: 128, green: 64, blue: 0 } },
  { name: "violet", ink: { red: 128, green: 0, blue: 255 } },
  { name: "moss", ink: { red: 0, green: 96, blue: 0 } },
] as const satisfies readonly { readonly name: FilmInkName; readonly ink: FilmInk }[];

/** What one level of an ink sheet is: an ink, and how much of it. */
export interface InkAmount {
  readonly ink: FilmInkName;
  /** Share of the ink, 0 leaves the film clear, 1 is all of it. */
  readonly amount: number;
}

/**
 * Amounts of each ink where nobody says: one ink finely, several as many as fit the sheet well. common practice, no
 * source
 */
function usualAmounts(inks: number): number {
  return inks === 1 ? 32 : Math.max(4, Math.floor(48 / inks));
}

/** Options of the layout that an ink sheet takes. */
export function inkSheetOptions({
  inks,
  amounts,
  replicates,
  widthMm,
}: {
  readonly inks: readonly FilmInkName[];
  readonly amounts?: number | undefined;
  readonly replicates?: number | undefined;
  readonly widthMm?: number | undefined;
}): { levels: number; replicates: number | undefined; widthMm: number | undefined } {
  const different = inksOfMask(inkMask(inks)).length;
  return { levels: different * (amounts ?? usualAmounts(different)), replicates, widthMm };
}

/** The inks as a whole number, one bit each in the order of `filmInks`, for the sheet's code. */
export function inkMask(names: readonly FilmInkName[]): number {
  return filmInks.reduce((mask, { name }, bit) => (names.includes(name) ? mask | (1 << bit) : mask), 0);
}

/** The inks of a mask, in the order of `filmInks`. */
export function inksOfMask(mask: number): FilmInkName[] {
  return filmInks.flatMap(({ name }, bit) => ((mask >> bit) & 1 ? [name] : []));
}

/**
 * What each level of an ink sheet's layout is printed with: amounts evenly from none to all, the inks in turn, so that
 * the layout's own scattering parts them.
 * @returns one for each level, or null where the levels do not divide among the inks
 */
export function inkAmounts(mask: number, { levels }: Pick<SheetOptions, "levels">): InkAmount[] | null {
  const names = inksOfMask(mask);
  const steps = levels / names.length;
  if (names.length === 0 || !Number.isInteger(steps) || steps < 2) return null;
  return Array.from({ length: levels }, (_, index) => ({
    ink: names[index % names.length] ?? "black",
    amount: Math.floor(index / names.length) / (steps - 1),
  }));
}

/** An ink by its name. */
export function inkNamed(wanted: FilmInkName): FilmInk {
  return (filmInks.find(({ name }) => name === wanted) ?? filmInks[0]).ink;
}

/** What is sent to the film printer for an amount of an ink: straight from clear film (255) to the ink. */
export function sentInk(ink: FilmInk, amount: number): FilmInk {
  const sent = (full: number): number => Math.round(255 - amount * (255 - full));
  return { red: sent(ink.red), green: sent(ink.green), blue: sent(ink.blue) };
}

/** An ink written as six hexadecimal digits, red first. */
export function inkFromText(text: string): FilmInk {
  const digits = text.replace("#", "");
  const at = (start: number): number => Number.parseInt(digits.slice(start, start + 2), 16);
  return { red: at(0), green: at(2), blue: at(4) };
}

/** @example inkText({ red: 0, green: 255, blue: 16 }) // "00ff10" */
export function inkText({ red, green, blue }: FilmInk): string {
  return [red, green, blue].map((value) => Math.round(value).toString(16).padStart(2, "0")).join("");
}
