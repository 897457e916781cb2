// What stops the work, put into words.
import type { CorrectionTrouble, NegativeTrouble } from "#shared/correction/correction-facts.ts";
import { InputError, TroubleError } from "#shared/errors.ts";
import type { EvennessTrouble } from "#shared/evenness/evenness-facts.ts";
import type { PressTrouble } from "#shared/prints/steps-after.ts";
import type { InstrumentTrouble } from "#shared/reading/instrument/instrument-facts.ts";
import type { ReadingTrouble } from "#shared/reading/reading-troubles.ts";
import type { ClockTrouble } from "#shared/sun/local-clock.ts";
import type { SheetTrouble } from "#shared/tablet/sheet-troubles.ts";
import { clockTroubleSentences } from "./sun/clock-trouble-words.ts";
import { evennessTroubleSentences } from "./materials/evenness-words.ts";
import { instrumentTroubleSentences } from "./tests/instrument-words.ts";
import { findingSentences } from "./tests/finding-trouble-words.ts";
import { negativeTroubleSentences } from "./negatives/negative-trouble-words.ts";
import { pictureSentences } from "./tests/picture-trouble-words.ts";
import { pressTroubleSentences } from "./print-words.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";
import { sheetTroubleSentences } from "./negatives/sheet-words.ts";

type Trouble =
  | ReadingTrouble
  | EvennessTrouble
  | SheetTrouble
  | CorrectionTrouble
  | NegativeTrouble
  | ClockTrouble
  | PressTrouble
  | InstrumentTrouble;

const sentences: Sentences<Trouble> = {
  ...pictureSentences,
  ...findingSentences,
  ...instrumentTroubleSentences,
  ...evennessTroubleSentences,
  ...sheetTroubleSentences,
  ...negativeTroubleSentences,
  ...clockTroubleSentences,
  ...pressTroubleSentences,
};

/** What is wrong and what to do. */
export const troubleWords = (trouble: Trouble): string => sentenceOf(sentences, trouble);

/** A trouble of the core or of imaging as an error that can be shown; any other value as it is. */
export function errorInWords(error: unknown): unknown {
  if (!(error instanceof TroubleError)) return error;
  const { code, field, extra } = error;
  // Troubles are made with the unions above only; on the way out of a worker, and out of a `catch`, the type is lost.
  const detail = troubleWords(error.trouble as Trouble);
  return new InputError(code, detail, { cause: error, field, extra });
}

/**
 * Does a piece of the core's work, and puts what stops it into words.
 * @throws InputError in place of a TroubleError
 */
export function inPlainWords<Result>(work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    throw errorInWords(error);
  }
}
