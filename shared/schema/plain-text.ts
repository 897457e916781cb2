// Names and notes: what a person can read. Control characters, marks that turn the direction of the text round and
// halves of characters are taken out; they hide what a file, a page or a printed card says.
import { z } from "zod";

// \p{Cc} control, \p{Cf} format (direction overrides, byte order mark), \p{Cs} lone halves; Source: Unicode Standard,
// table 4-4.
const hidden = /[\p{Cc}\p{Cf}\p{Cs}]/gu;
/** The two joiners: scripts and emoji need them. */
const joiners = ["\u200c", "\u200d"];

function withoutHidden(text: string, kept: readonly string[]): string {
  return text.replace(hidden, (character) => (kept.includes(character) ? character : ""));
}

/** One line of text without hidden characters, without space at its ends. */
export function lineSchema(): z.ZodString {
  return z
    .string()
    .overwrite((text) => withoutHidden(text.replace(/[\t\r\n]+/g, " "), joiners))
    .trim();
}

/** Several lines of text without hidden characters. */
export function linesSchema(): z.ZodString {
  return z.string().overwrite((text) => withoutHidden(text.replace(/\r\n?/g, "\n"), [...joiners, "\t", "\n"]));
}
