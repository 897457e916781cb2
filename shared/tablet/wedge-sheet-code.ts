// The text in a wedge sheet's machine-readable code: which arrangement, with which options, printed through what.
import { TroubleError } from "#shared/errors.ts";
import { inkAmounts } from "./film-inks.ts";
import type { SheetTrouble } from "./sheet-troubles.ts";
import { sheetLayoutVersion, sheetLimits, type SheetOptions } from "./wedge-sheet-layout.ts";

export interface SheetCode {
  readonly version: number;
  readonly options: SheetOptions;
  /** Mark of the correction that the sheet was printed through (`correctionMark`); null for a first sheet. */
  readonly correctionMark: string | null;
  /** Inks of an ink sheet (`inkMask`); null for a sheet of grey levels. */
  readonly inkMask: number | null;
}

const codeWord = "WEDGEWRIGHT";
const markLength = 8;
/** Before the inks of an ink sheet. */
const inkWord = "INK:";
/** Before the letters of a kept curve's id. */
const keptWord = "K:";
const marked = String.raw`(?:\/(?:([0-9A-Z]{1,8}(?:\/D)?|K:[0-9A-Z]{1,8})|INK:([0-9A-F]{1,3})))?`;
const codePattern = new RegExp(String.raw`^WEDGEWRIGHT (\d{1,3})\/(\d{1,3})\/(\d{1,2})\/(\d{2,3}(?:\.\d)?)${marked}$`);

/** Targets of a correction that a sheet can be printed through; a list of points does not fit the code. */
export type SheetTarget = "lightness" | "density";
const densityEnding = "/D";

/**
 * Short mark of a correction for the code: the first 8 letters and digits of its test's id, in capitals (so that the
 * code stays small), and an ending where it aims at anything but even steps of lightness.
 */
export function correctionMark(testId: string, target: SheetTarget = "lightness"): string {
  return `${markLetters(testId)}${target === "density" ? densityEnding : ""}`;
}

function markLetters(id: string): string {
  return id
    .replace(/[^0-9a-z]/gi, "")
    .toUpperCase()
    .slice(0, markLength);
}

/** The same of a kept curve, which knows its own test and target. */
export function keptCurveMark(curveId: string): string {
  return `${keptWord}${markLetters(curveId)}`;
}

/** Whether a mark is that of a kept curve. */
export function isKeptCurveMark(mark: string): boolean {
  return mark.startsWith(keptWord);
}

/** What a mark's correction aimed at. */
export function targetOfMark(mark: string): SheetTarget {
  return mark.endsWith(densityEnding) ? "density" : "lightness";
}

/** Letters and digits, in capitals, with which the id of a mark's test begins. */
export function lettersOfMark(mark: string): string {
  return mark.split("/")[0] ?? "";
}

/**
 * The code's text, only of characters from the alphanumeric set of ISO/IEC 18004.
 * @example
 * const options = { levels: 41, replicates: 4, widthMm: 160 };
 * sheetCodeText({ version: 1, options, correctionMark: null, inkMask: null }); // "WEDGEWRIGHT 1/41/4/160"
 */
export function sheetCodeText({ version, options, correctionMark: mark, inkMask }: SheetCode): string {
  const ending = inkMask === null ? mark : `${inkWord}${inkMask.toString(16).toUpperCase()}`;
  return (
    `${codeWord} ` +
    `${[version, options.levels, options.replicates, options.widthMm, ...(ending === null ? [] : [ending])].join("/")}`
  );
}

/**
 * What a code's text says; null when it is not a wedge sheet's.
 * @throws TroubleError when the sheet is of a newer arrangement than this program knows
 */
export function parseSheetCode(text: string): SheetCode | null {
  const match = codePattern.exec(text.trim());
  if (match === null) return null;
  const [version, levels, replicates, widthMm] = match.slice(1, 5).map(Number) as [number, number, number, number];
  if (version > sheetLayoutVersion) {
    throw new TroubleError<SheetTrouble>("no-tablet-found", {
      code: "newer-sheet-layout",
      layoutVersion: version,
      knownVersion: sheetLayoutVersion,
    });
  }
  const options = { levels, replicates, widthMm };
  const inside = (field: keyof SheetOptions): boolean =>
    options[field] >= sheetLimits[field][0] && options[field] <= sheetLimits[field][1];
  if (version < 1 || !inside("levels") || !inside("replicates") || !inside("widthMm")) return null;
  const inkMask = match[6] === undefined ? null : Number.parseInt(match[6], 16);
  if (inkMask !== null && inkAmounts(inkMask, options) === null) return null;
  return { version, options, correctionMark: match[5] ?? null, inkMask };
}
