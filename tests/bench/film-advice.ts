// Whether thin, fitting and dense films are told apart, by wedge sheets in black and by ink sheets in several inks, and
// how straight the print is after one sheet of each.
import { solvedCorrection } from "#shared/correction/correction.ts";
import { filmSuit } from "#shared/correction/film-suit.ts";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";
import { sheetDefaults } from "#shared/tablet/wedge-sheet-layout.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { readInksOnce, type InkCase, type InkLoopOutcome } from "./closed-loop/inks.ts";
import { trueStraightness, type Straightness } from "./closed-loop/loop.ts";
import { printAndPhotograph } from "./closed-loop/print-and-photograph.ts";
import { inventStudio, type FilmFit } from "./closed-loop/studio.ts";
import type { Print } from "./main.ts";
import { distributionLine, figureLine, heading, quantile } from "./statistics.ts";

export const title = "films and inks: veil told, ink advised, straight after one sheet";

/** Seeds of the report; those under 1000 were used while it was made. */
const firstSheetSeed = 80_000;
const firstInkSeed = 90_000;
const count = 100;
const fits: readonly FilmFit[] = ["thin", "fitting", "dense"];
const inkCases: readonly InkCase[] = ["thin", "fitting", "dense", "coloured"];

export interface SheetOutcome {
  readonly fit: FilmFit;
  readonly code: string;
  readonly straightness: Straightness;
}

/** A wedge sheet in black: what is said of the film, and how straight the next print is. */
export async function adviseOnSheet(seed: number, fit: FilmFit): Promise<SheetOutcome> {
  const studio = inventStudio(seed, false, fit);
  const { png } = await drawSheet({ options: sheetDefaults, paper: "a4", dpi: 150, mirror: true });
  const photo = await printAndPhotograph({ studio, png, options: sheetDefaults, seed });
  const reading = readingInWords(await measureReading({ picture: photo.jpeg, request: { tablet: { kind: "sheet" } } }));
  const { tones } = tonesFromReading(reading);
  const isVeilKnown = reading.sheet?.zero?.of === "bare-paper";
  const { found } = solvedCorrection({ tones, target: "lightness", isVeilKnown });
  const { lightness } = found.measured;
  const suit = filmSuit({ tones: found.tones, lightness, isVeilKnown, film: null, coating: null });
  return { fit, code: suit.code, straightness: trueStraightness(studio, found.levels) };
}

/**
 * Whether ink advice is in the right direction: a shortage told where it is, an ink named that is as good as the best.
 */
export function isAdviceRight({ answer, truth }: InkLoopOutcome): boolean {
  const { finding, inks } = answer;
  if (finding.code === "paper-unseen") return false;
  const all = Object.values(truth);
  const own = truth[finding.ink];
  const strongest = Math.max(...all.map(({ density }) => density));
  const anyWhite = all.some(({ whiteFrom }) => whiteFrom !== null);
  if (own === undefined || inks[0]?.ink !== finding.ink) return false;
  if (finding.code === "ink-short") return !anyWhite && strongest - own.density < 0.1;
  // An ink that is called enough must be enough.
  if (own.whiteFrom === null) return finding.code === "ink-just-enough" && strongest - own.density < 0.1;
  const least = Math.min(...all.flatMap(({ whiteFrom }) => (whiteFrom === null ? [] : [whiteFrom])));
  return own.whiteFrom - least < 0.08;
}

/** Whether each range of an amount that was told holds the true one. */
export function rangesHold({ answer, truth }: InkLoopOutcome): boolean[] {
  return answer.inks.flatMap(({ ink, whiteFrom }) => {
    const own = truth[ink]?.whiteFrom ?? null;
    if (whiteFrom === null || own === null) return [];
    return [own >= whiteFrom.lower && own <= (whiteFrom.upper ?? 1)];
  });
}

export async function run(print: Print): Promise<void> {
  print(heading);
  const sheets: SheetOutcome[] = [];
  for (let i = 0; i < count; i++) sheets.push(await adviseOnSheet(firstSheetSeed + i, fits[i % 3] ?? "fitting"));
  const expected = { thin: ["film-short"], fitting: ["film-fits", "film-dense"], dense: ["film-dense"] };
  for (const fit of fits) {
    const own = sheets.filter((sheet) => sheet.fit === fit);
    const right = own.filter(({ code }) => expected[fit].includes(code)).length;
    print(figureLine(`film ${fit}: told so`, `${right} of ${own.length}`, "all", right === own.length));
    for (const [figure, goal] of [
      ["mean", 0.25],
      ["worst", 0.9],
    ] as const) {
      const values = own.map(({ straightness }) => straightness[figure]);
      const met = quantile(values, 0.5) <= goal;
      print(
        distributionLine({
          what: `${figure} |dL*| after one sheet, ${fit}`,
          values,
          digits: 2,
          goal: `median <= ${goal}`,
          met,
        }),
      );
    }
  }
  const inks: InkLoopOutcome[] = [];
  for (let i = 0; i < count; i++) inks.push(await readInksOnce(firstInkSeed + i, inkCases[i % 4] ?? "fitting"));
  const right = inks.filter(isAdviceRight).length;
  print(figureLine("ink advice in the right direction", `${right} of ${count}`, "all", right === count));
  const held = inks.flatMap(rangesHold);
  const share = held.filter(Boolean).length / held.length;
  print(
    figureLine(
      "ranges of ink amounts hold",
      `${(100 * share).toFixed(1)} % of ${held.length}`,
      "93-97 %",
      share >= 0.93,
    ),
  );
}
