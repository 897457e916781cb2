// Names and notes: what a person can read. Control characters, marks that turn the direction of the text round and halves of
// characters are taken out; they hide what a file, a page or a printed card says.
import { z } from "zod";

// \p{Cc} control, \p{Cf} format (direction overrides, byte order mark), \p{Cs} lone halves; Source: Unicode Standard, table 4-4.
// The two joiners stay: scripts and emoji need them. So do the tab and the line break, in notes.
const hiddenInName = /(?![\u200c\u200d])[\p{Cc}\p{Cf}\p{Cs}]/gu;
const hiddenInNotes = /(?![\u200c\u200d\t\n])[\p{Cc}\p{Cf}\p{Cs}]/gu;

/** One line of text without hidden characters, without space at its ends. */
export function lineSchema(): z.ZodString {
  return z
    .string()
    .overwrite((text) => text.replace(/[\t\r\n]+/g, " ").replace(hiddenInName, ""))
    .trim();
}

/** Several lines of text without hidden characters. */
export function linesSchema(): z.ZodString {
  return z.string().overwrite((text) => text.replace(/\r\n?/g, "\n").replace(hiddenInNotes, ""));
}
