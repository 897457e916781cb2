// A day far ahead is a slip of the keys: a test of 2062 would be the newest for thirty-six years.
import { refusal } from "#shared/words/refusal-words.ts";

/**
 * Nothing is noted as made or changed further ahead than this; a clock that is wrong by a zone or a day still is.
 * common practice, no source
 */
const mostAheadMs = 366 * 24 * 3600 * 1000;

/**
 * @param at a day or an instant; nothing happens without one
 * @param field that it was given in
 * @throws InputError "bad-request" when it lies more than a year ahead
 */
export function refuseDayToCome(at: string | null | undefined, field: string): void {
  if (at == null || Date.parse(at) <= Date.now() + mostAheadMs) return;
  throw refusal("bad-request", { code: "day-to-come", year: at.slice(0, 4) }, { field });
}
