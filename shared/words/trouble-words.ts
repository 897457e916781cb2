// What stops the work, put into words.
import { InputError, TroubleError } from "#shared/errors.ts";
import type { EvennessTrouble } from "#shared/evenness/evenness-facts.ts";
import type { ReadingTrouble } from "#shared/reading/reading-troubles.ts";
import { evennessTroubleSentences } from "./evenness-words.ts";
import { findingSentences } from "./finding-trouble-words.ts";
import { pictureSentences } from "./picture-trouble-words.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";

type Trouble = ReadingTrouble | EvennessTrouble;

const sentences: Sentences<Trouble> = { ...pictureSentences, ...findingSentences, ...evennessTroubleSentences };

/** What is wrong and what to do. */
export const troubleWords = (trouble: Trouble): string => sentenceOf(sentences, trouble);

/** A trouble of the core or of imaging as an error that can be shown; any other value as it is. */
export function errorInWords(error: unknown): unknown {
  if (!(error instanceof TroubleError)) return error;
  const { code, field, extra } = error;
  // Troubles are made by typed functions only, such as `readingTrouble`; on the way out of a worker the type is lost.
  const detail = troubleWords(error.trouble as Trouble);
  return new InputError(code, detail, {
    cause: error,
    ...(field === undefined ? {} : { field }),
    ...(extra === undefined ? {} : { extra }),
  });
}
