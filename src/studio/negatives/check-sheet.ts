// How close a print through a correction came to what that aimed at, and what the next curve will be.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { correctionResidual, type Residual } from "#shared/correction/refine-correction.ts";
import { isStraight } from "#shared/correction/straightness.ts";
import { sheetCheckSentence } from "#shared/words/negatives/sheet-check-words.ts";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";
import type { SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";
import { lineOfSheets, tonesOfLine } from "./correct.ts";

export interface SheetCheck {
  readonly testId: string;
  /** The test whose correction the sheet was printed through. */
  readonly throughTestId: string;
  readonly throughTestName: string;
  /** What that correction aimed at, and the print is judged by. */
  readonly target: SheetTarget;
  /** What the same levels gave without a correction. */
  readonly before: Residual;
  /** What they gave through it. */
  readonly after: Residual;
  /** Levels that the refined correction sends, for each wanted level. */
  readonly refinedLevels: readonly number[];
  /** Largest change between the two corrections, grey levels. */
  readonly largestChangeLevels: number;
  /** As straight as prints repeat. */
  readonly isStraight: boolean;
  /** Plain words: good enough, or print another negative with the refined curve. */
  readonly advice: string;
}

/** @throws InputError "no-correction" when the test is not a sheet printed through a correction */
export function checkSheet({ store }: Pick<Tools, "store">, testId: string): SheetCheck {
  const test = store.tests.get(testId);
  const { tones, through } = tonesOfLine(store, lineOfSheets(store, test));
  const target = through?.target ?? null;
  if (through === null || target === null) throw refusal("no-correction", { code: "no-check-sheet" });
  const after = correctionResidual(tonesFromReading(test.reading).tones, target);
  // Tones of a line of sheets lie close together in level: the first sheet's own are what "before" means.
  const before = correctionResidual(tonesFromReading(through.test.reading).tones, target);
  const refined = inPlainWords(() => correctionFromTones({ tones, target }));
  const largestChangeLevels = Math.max(...refined.levels.map((level, i) => Math.abs(level - through.sentLevels[i]!)));
  return {
    testId,
    throughTestId: through.test.id,
    throughTestName: through.test.request.name,
    target,
    before,
    after,
    refinedLevels: refined.levels,
    largestChangeLevels,
    isStraight: isStraight(after),
    advice: sheetCheckSentence({ after, largestChangeLevels, target }),
  };
}
