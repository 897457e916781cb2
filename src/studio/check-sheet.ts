// How close a print through a correction came to what that aimed at, and what the next curve will be.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { correctionResidual, type Residual } from "#shared/correction/refine-correction.ts";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";
import { InputError } from "#shared/errors.ts";
import type { SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import type { Tools } from "./tools.ts";
import { printedThrough, tonesOfTest } from "./correct.ts";

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

/** Goals of one correction, L*: mean and worst difference that the eye hardly sees. common practice, no source */
const straightEnough = { mean: 1, worst: 2.5 };

/** @throws InputError "no-correction" when the test is not a sheet printed through a correction */
export function checkSheet({ store }: Pick<Tools, "store">, testId: string): SheetCheck {
  const test = store.tests.get(testId);
  const through = printedThrough(store, test);
  if (through === null)
    throw new InputError(
      "no-correction",
      "This test is not a check sheet: it was not printed through a correction. Print the wedge sheet through a test's correction, make a test of that print, and look here.",
    );
  const after = correctionResidual(tonesFromReading(test.reading).tones, through.target);
  // Tones of a line of sheets lie close together in level: the first sheet's own are what "before" means.
  const before = correctionResidual(tonesFromReading(through.test.reading).tones, through.target);
  const refined = correctionFromTones({ tones: tonesOfTest(store, test).tones, target: through.target });
  const largestChangeLevels = Math.max(...refined.levels.map((level, i) => Math.abs(level - through.sentLevels[i]!)));
  return {
    testId,
    throughTestId: through.test.id,
    throughTestName: through.test.request.name,
    target: through.target,
    before,
    after,
    refinedLevels: refined.levels,
    largestChangeLevels,
    isStraight: isStraight(after),
    advice: adviceFrom(after, largestChangeLevels, through.target),
  };
}

const isStraight = (after: Residual): boolean =>
  after.mean <= straightEnough.mean && after.worst <= straightEnough.worst;

/** The scale that a target asks for, in words. */
export const scaleWords: Readonly<Record<SheetTarget, string>> = {
  lightness: "a scale of even lightness",
  density: "a scale of even density",
};

function adviceFrom(after: Residual, largestChangeLevels: number, target: SheetTarget): string {
  const found = `The correction aimed at ${scaleWords[target]}. Through it the tones lie L* ${after.mean.toFixed(1)} from that on average, ${after.worst.toFixed(1)} at worst.`;
  if (isStraight(after))
    return `${found} That is as close as prints repeat: go on with this curve. The refined one differs by at most ${largestChangeLevels.toFixed(1)} grey levels.`;
  return `${found} Make the next negative with this test's own correction for even steps of ${target}, which averages both prints. Half of what is left may be this one print's coating or exposure, so a third sheet is worth its film only if the next print is still off.`;
}
